//! Two measured runners: their measures against an independent computation, a force plate, and themselves with noise.
//!
//! Source of the data: Fukuchi et al. 2017, PeerJ 5:e3298 (figshare 4543435, CC BY 4.0), treadmill, 2.5 m/s.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at wrong data")]

mod common;

use common::{analysed, at_rate, mean, near_only, noisy, shared, trial};
use mechanics::analysis::{Analysis, Cutoff, Trial};
use mechanics::body::MarkerSet;
use mechanics::gait::EventKind;
use mechanics::measures::Measure as M;
use mechanics::space::Side;
use mechanics::statistics;

/// A measured runner.
struct Measured {
    file: &'static str,
    mass_kg: f64,
    /// Internal power by body mass from an independent computation in another language over the whole recording: both
    /// legs about the mid-hip, 10 Hz, transfer within a leg.
    power_w_kg: f64,
}

const RUNNERS: [Measured; 2] = [
    Measured {
        file: "reference/running-data/run_sub01_v25_150Hz_sagittal_6s.csv",
        mass_kg: 62.0,
        power_w_kg: 1.1255,
    },
    Measured {
        file: "reference/running-data/run_sub32_v25_150Hz_sagittal_6s.csv",
        mass_kg: 70.0,
        power_w_kg: 1.1087,
    },
];

const CLIPS: [(&str, f64); 2] =
    [("clips/runner_a.truth_m.csv", 62.0), ("clips/runner_b.truth_m.csv", 70.0)];

#[test]
fn the_legs_internal_power_about_the_hips_is_that_of_an_independent_computation_within_1_percent() {
    for Measured { file, mass_kg, power_w_kg } in RUNNERS {
        let Some(text) = shared(file) else { return };
        let mut trial = trial(&text, MarkerSet::Legs, mass_kg);
        trial.cutoff = Cutoff::Fixed { cutoff_hz: 10.0 };
        let got_w_kg = mean(&analysed(&trial), M::InternalPowerPerMass);
        assert!((got_w_kg / power_w_kg - 1.0).abs() < 0.01, "{file}: {got_w_kg}");
    }
}

/// One contact on the force plate (20 N): side, contact and toe-off.
struct Step {
    side: Side,
    contact_s: f64,
    toe_off_s: f64,
}

/// The steps of the runner on the force plate; none if the file does not exist.
fn steps() -> Option<Vec<Step>> {
    let text = shared("reference/running-data/run_sub01_v25_150Hz_force_events.csv")?;
    let step = |row: Result<(String, f64, f64), csv::Error>| {
        let (side, contact_s, toe_off_s) = row.unwrap();
        Step { side: if side == "R" { Side::Near } else { Side::Far }, contact_s, toe_off_s }
    };
    Some(csv::Reader::from_reader(text.as_bytes()).deserialize().map(step).collect())
}

/// The same steps as detected in the movement, without a toe-off at the end of the recording, which no swing follows.
fn detected_steps(trial: &Trial, steps: &[Step]) -> Vec<Step> {
    let events = analysed(trial).events;
    let nearest = |side: Side, kind: EventKind, true_s: f64| {
        let of_kind = events.iter().filter(|e| e.side == side && e.kind == kind).map(|e| e.time_s);
        of_kind.min_by(|a, b| (a - true_s).abs().total_cmp(&(b - true_s).abs())).unwrap()
    };
    let detected = |s: &Step| Step {
        side: s.side,
        contact_s: nearest(s.side, EventKind::Contact, s.contact_s),
        toe_off_s: nearest(s.side, EventKind::ToeOff, s.toe_off_s),
    };
    steps.iter().filter(|s| s.toe_off_s < 5.8).map(detected).collect()
}

/// Contact times, flight times, stride times and duty factors, one per step or stride. s, s, s, 1.
fn times(steps: &[Step]) -> [Vec<f64>; 4] {
    let contact = |s: &Step| s.toe_off_s - s.contact_s;
    let stride = |w: &[Step]| w[2].contact_s - w[0].contact_s;
    [
        steps.iter().map(contact).collect(),
        steps.windows(2).map(|w| w[1].contact_s - w[0].toe_off_s).collect(),
        steps.windows(3).map(stride).collect(),
        steps.windows(3).map(|w| contact(&w[0]) / stride(w)).collect(),
    ]
}

/// Bounds of bias and SD.
#[derive(Clone, Copy)]
struct Bounds {
    bias_si: f64,
    sd_si: f64,
}

/// Fails unless bias and SD of the detected values are within their bounds.
fn assert_within(what: &str, got: &[f64], expected: &[f64], Bounds { bias_si, sd_si }: Bounds) {
    let errors: Vec<f64> = got.iter().zip(expected).map(|(g, e)| g - e).collect();
    let (bias, sd) = (statistics::mean(&errors).unwrap(), statistics::sd(&errors).unwrap());
    println!("{what}: n {} bias {bias:.4} of {bias_si:.4}, sd {sd:.4} of {sd_si:.4}", errors.len());
    assert!(errors.len() >= 12, "{what}");
    assert!(bias.abs() <= bias_si && sd <= sd_si, "{what}: {bias} {sd} {errors:?}");
}

/// The runner on the force plate, as a camera of this rate and noise would film him.
fn filmed(rate_hz: f64, noise_m: f64) -> Option<Trial> {
    let [Measured { file, mass_kg, .. }, _] = RUNNERS;
    let trial = noisy(trial(&shared(file)?, MarkerSet::Legs, mass_kg), noise_m, 3);
    Some(if rate_hz < 150.0 { at_rate(trial, rate_hz) } else { trial })
}

/// A camera, and the bounds of the detected times in seconds.
struct Camera {
    rate_hz: f64,
    noise_m: f64,
    bounds: Bounds,
}

const fn camera(rate_hz: f64, noise_m: f64, bias_si: f64, sd_si: f64) -> Camera {
    Camera { rate_hz, noise_m, bounds: Bounds { bias_si, sd_si } }
}

const CAMERAS: [Camera; 5] = [
    camera(150.0, 0.0, 0.006, 0.005),
    camera(75.0, 0.0, 0.006, 0.005),
    camera(60.0, 0.0, 0.006, 0.005),
    camera(30.0, 0.0, 0.010, 0.010),
    camera(150.0, 0.001, 0.006, 0.006),
];

#[test]
fn contacts_and_toe_offs_are_those_of_a_force_plate() {
    let Some(steps) = steps() else { return };
    for Camera { rate_hz, noise_m, bounds } in CAMERAS {
        let Some(trial) = filmed(rate_hz, noise_m) else { return };
        let detected = detected_steps(&trial, &steps);
        for (what, of) in [
            ("contact", (|s: &Step| s.contact_s) as fn(&Step) -> f64),
            ("toe-off", |s: &Step| s.toe_off_s),
        ] {
            let of_all = |steps: &[Step]| steps.iter().map(of).collect::<Vec<_>>();
            let what = format!("{what} at {rate_hz} frames/s, noise {noise_m} m");
            assert_within(&what, &of_all(&detected), &of_all(&steps), bounds);
        }
    }
}

#[test]
fn stride_contact_and_flight_times_are_those_of_the_force_plate() {
    let Some(steps) = steps() else { return };
    let expected = times(&steps);
    for Camera { rate_hz, noise_m, bounds } in CAMERAS {
        let Some(trial) = filmed(rate_hz, noise_m) else { return };
        let got = times(&detected_steps(&trial, &steps));
        let stride_s = statistics::mean(&expected[2]).unwrap();
        // The bounds of the duty factor are those of a time, divided by the stride time.
        let per_unit = [1.0, 1.0, 1.0, 1.0 / stride_s];
        for (k, what) in
            ["contact time", "flight time", "stride time", "duty factor"].iter().enumerate()
        {
            let what = format!("{what} at {rate_hz} frames/s, noise {noise_m} m");
            let Bounds { bias_si, sd_si } = bounds;
            let bounds = Bounds { bias_si: bias_si * per_unit[k], sd_si: sd_si * per_unit[k] };
            assert_within(&what, &got[k], &expected[k], bounds);
        }
    }
}

/// Fails unless the measures that a coach relies on are nearly the same in both.
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
fn a_trackers_noise_hardly_changes_the_measures_that_a_coach_relies_on() {
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
fn the_mirrored_near_side_gives_the_work_of_both_sides_within_3_percent() {
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
fn a_clip_stamped_as_slow_motion_has_no_stride_and_asks_to_check_the_filmed_rate() {
    let (file, mass_kg) = CLIPS[0];
    let Some(text) = shared(file) else { return };
    let mut slow = near_only(trial(&text, MarkerSet::NearSide, mass_kg));
    // 120 frames/s stamped as 30: a stride seems to take 3.1 s.
    slow.times_s.iter_mut().for_each(|t| *t *= 4.0);
    let analysis = analysed(&slow);
    assert!(analysis.strides.is_empty() && analysis.measures.is_empty());
    assert!(!analysis.excluded.is_empty());
    assert!(analysis.excluded.iter().all(|s| s.reason.sentence.contains("filmed rate")));
}
