//! Two measured runners: numbers against a second computation, a force plate, and themselves with noise.
//!
//! Source of the data: Fukuchi et al. 2017, PeerJ 5:e3298 (figshare 4543435, CC BY 4.0), treadmill, 2.5 m/s.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where its data are wrong")]

mod common;

use common::{analysed, mean, near_only, noisy, shared, thinned, trial};
use mechanics::analysis::{Analysis, Cutoff, Trial};
use mechanics::body::MarkerSet;
use mechanics::gait::EventKind;
use mechanics::measures::Measure as M;
use mechanics::space::Side;
use mechanics::statistics;

const RUNNERS: [(&str, f64, f64); 2] = [
    ("reference/running-data/run_sub01_v25_150Hz_sagittal_6s.csv", 62.0, 1.1255),
    ("reference/running-data/run_sub32_v25_150Hz_sagittal_6s.csv", 70.0, 1.1087),
];

const CLIPS: [(&str, f64); 2] =
    [("clips/runner_a.truth_m.csv", 62.0), ("clips/runner_b.truth_m.csv", 70.0)];

#[test]
fn the_legs_internal_power_about_the_hips_is_that_of_a_second_computation_within_1_percent() {
    // Source: independent computation in another language over the whole recording, both legs about the
    // mid-hip, 10 Hz, transfer within a leg: 1.1255 and 1.1087 W/kg.
    for (file, mass_kg, expected_w_kg) in RUNNERS {
        let Some(text) = shared(file) else { return };
        let mut trial = trial(&text, MarkerSet::Legs, mass_kg);
        trial.cutoff = Cutoff::Fixed { cutoff_hz: 10.0 };
        let got_w_kg = mean(&analysed(&trial), M::InternalPowerPerMass);
        assert!((got_w_kg / expected_w_kg - 1.0).abs() < 0.01, "{file}: {got_w_kg}");
    }
}

/// Found less force-plate times of the runner on the force plate: contacts, then toe-offs. s.
fn event_errors_s(trial: &Trial, force: &str) -> [Vec<f64>; 2] {
    let events = analysed(trial).events;
    let mut errors = [Vec::new(), Vec::new()];
    for line in force.lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let side = if fields[0] == "R" { Side::Near } else { Side::Far };
        for (kind, (field, errors)) in [EventKind::Contact, EventKind::ToeOff]
            .into_iter()
            .zip([1, 2].into_iter().zip(&mut errors))
        {
            let true_s: f64 = fields[field].parse().unwrap();
            let off = |e: &mechanics::gait::GaitEvent| e.time_s - true_s;
            let nearest = events
                .iter()
                .filter(|e| e.side == side && e.kind == kind)
                .map(off)
                .min_by(|a, b| a.abs().total_cmp(&b.abs()))
                .unwrap();
            // A foot that leaves the ground as the recording ends has no swing to know it by.
            if true_s < 5.8 {
                errors.push(nearest);
            }
        }
    }
    errors
}

#[test]
fn contacts_and_toe_offs_are_those_of_a_force_plate() {
    let [(file, mass_kg, _), _] = RUNNERS;
    let Some(text) = shared(file) else { return };
    let Some(force) = shared("reference/running-data/run_sub01_v25_150Hz_force_events.csv") else {
        return;
    };
    // Every frame is 150 frames/s; contacts at 20 N.
    for (every, noise_m, bias_s, sd_s) in [
        (1, 0.0, 0.006, 0.005),
        (2, 0.0, 0.006, 0.005),
        (5, 0.0, 0.010, 0.010),
        (1, 0.001, 0.006, 0.006),
    ] {
        let whole = noisy(trial(&text, MarkerSet::Legs, mass_kg), noise_m, 3);
        for errors in event_errors_s(&thinned(whole, every), &force) {
            let (bias, sd) = (statistics::mean(&errors).unwrap(), statistics::sd(&errors).unwrap());
            println!(
                "every {every}, noise {noise_m}: n {} bias {bias:.4} sd {sd:.4} s",
                errors.len()
            );
            assert!(errors.len() >= 14);
            assert!(bias.abs() <= bias_s && sd <= sd_s, "{every}: {bias} {sd} {errors:?}");
        }
    }
}

#[test]
fn stride_contact_and_flight_times_are_those_of_the_force_plate() {
    let [(file, mass_kg, _), _] = RUNNERS;
    let Some(text) = shared(file) else { return };
    let Some(force) = shared("reference/running-data/run_sub01_v25_150Hz_force_events.csv") else {
        return;
    };
    // Contacts and toe-offs of alternating feet at 20 N in the same six seconds.
    let steps: Vec<(f64, f64)> = force
        .lines()
        .skip(1)
        .map(|line| {
            let fields: Vec<f64> = line.split(',').skip(1).map(|f| f.parse().unwrap()).collect();
            (fields[0], fields[1])
        })
        .collect();
    let over = |f: &dyn Fn(usize) -> f64, n: usize| (0..n).map(f).sum::<f64>() / n as f64;
    let n = steps.len();
    let stride_s = over(&|i| steps[i + 2].0 - steps[i].0, n - 2);
    let contact_s = over(&|i| steps[i].1 - steps[i].0, n);
    let flight_s = over(&|i| steps[i + 1].0 - steps[i].1, n - 1);
    for every in [1, 2] {
        let a = analysed(&thinned(trial(&text, MarkerSet::Legs, mass_kg), every));
        for (measure, expected, tolerance) in [
            (M::StrideTime, stride_s, 0.002),
            (M::ContactTime, contact_s, 0.006),
            (M::FlightTime, flight_s, 0.006),
            (M::DutyFactor, contact_s / stride_s, 0.008),
        ] {
            let got = mean(&a, measure);
            println!("every {every}: {measure:?} {got:.4} (force plate {expected:.4})");
            assert!((got - expected).abs() < tolerance, "{measure:?} {got} {expected}");
        }
    }
}

/// What a coach relies on, first against second.
fn assert_same(first: &Analysis, second: &Analysis, what: &str) {
    let ratio = |m| mean(second, m) / mean(first, m) - 1.0;
    let apart = |m| mean(second, m) - mean(first, m);
    println!(
        "{what}: work {:+.2} %, cadence {:+.3} %, heel lift {:+.2} mm, knee {:+.2} deg, contact {:+.1} ms",
        100.0 * ratio(M::InternalWork),
        100.0 * ratio(M::Cadence),
        1e3 * apart(M::HeelLift),
        apart(M::PeakKneeFlexion).to_degrees(),
        1e3 * apart(M::ContactTime),
    );
    assert!(ratio(M::InternalWork).abs() < 0.02);
    assert!(ratio(M::Cadence).abs() < 0.005);
    assert!(apart(M::HeelLift).abs() < 0.002);
    assert!(apart(M::PeakKneeFlexion).abs() < 0.5_f64.to_radians());
    assert!(apart(M::ContactTime).abs() < 0.008);
    assert_eq!(first.strides.len(), second.strides.len());
}

#[test]
fn noise_of_a_tracker_changes_no_number_that_matters() {
    for (file, mass_kg) in CLIPS {
        let Some(text) = shared(file) else { return };
        let both = trial(&text, MarkerSet::BothSides, mass_kg);
        let near = near_only(trial(&text, MarkerSet::NearSide, mass_kg));
        for trial in [both, near] {
            let clean = analysed(&trial);
            // 0.2 and 0.5 px at 320 px/m.
            for sd_m in [0.000_625, 0.001_56] {
                for seed in 0..5 {
                    let loud = analysed(&noisy(trial.clone(), sd_m, seed));
                    assert_same(&clean, &loud, &format!("{file} {sd_m} {seed}"));
                }
            }
        }
    }
}

#[test]
fn the_near_side_mirrored_stands_for_both_sides_within_3_percent() {
    for (file, mass_kg) in CLIPS {
        let Some(text) = shared(file) else { return };
        let both = analysed(&trial(&text, MarkerSet::BothSides, mass_kg));
        let near = analysed(&near_only(trial(&text, MarkerSet::NearSide, mass_kg)));
        let ratio = mean(&near, M::InternalWork) / mean(&both, M::InternalWork);
        println!("{file}: mirrored / both = {ratio:.4}");
        assert!((ratio - 1.0).abs() < 0.03);
        assert!(near.notes.iter().any(|n| n.key == "far_side_mirrored"));
        assert!(both.notes.iter().all(|n| n.key != "far_side_mirrored"));
    }
}

#[test]
fn a_clip_stamped_as_slow_motion_has_no_stride_and_says_to_check_the_filmed_rate() {
    let (file, mass_kg) = CLIPS[0];
    let Some(text) = shared(file) else { return };
    let mut slow = near_only(trial(&text, MarkerSet::NearSide, mass_kg));
    // 120 frames/s stamped as 30: a stride seems to take 3.1 s.
    slow.times_s.iter_mut().for_each(|t| *t *= 4.0);
    let analysis = analysed(&slow);
    assert!(analysis.strides.is_empty() && analysis.measures.is_empty());
    assert!(!analysis.left_out.is_empty());
    assert!(analysis.left_out.iter().all(|l| l.reason.sentence.contains("filmed rate")));
}
