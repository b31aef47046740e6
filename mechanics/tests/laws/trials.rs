//! Laws of whole trials, from positions to measures.

use crate::common::runner::{Runner, fixed};
use crate::common::{analysed, mean};
use mechanics::analysis::{Analysis, Astray, AtStake, Trial, at_stake};
use mechanics::body::{Landmark, MarkerSet};
use mechanics::measures::Measure as M;
use mechanics::space::Point;

/// An uneven run on both sides, seeded.
fn run(seed: u64) -> Trial {
    fixed(Runner::USUAL.filmed(8, MarkerSet::BothSides, seed), 8.0)
}

fn moved(mut trial: Trial, by: impl Fn(f64, Point) -> Point) -> Trial {
    for points in trial.points.values_mut() {
        for (point, time_s) in points.iter_mut().zip(&trial.times_s) {
            *point = point.map(|p| by(*time_s, p));
        }
    }
    trial
}

/// The invented runner's foot does not turn against the shank, so that these are nothing but rounding.
const STILL: [M; 2] = [M::AnkleSwingPositiveWork, M::AnkleSwingNegativeWork];

/// The greatest difference of any measure of both, as a part of the first's.
fn apart(first: &Analysis, second: &Analysis, but: &[M], factor: impl Fn(M) -> f64) -> (f64, M) {
    assert_eq!(first.strides.len(), second.strides.len());
    assert_eq!(first.measures.len(), second.measures.len());
    first
        .measures
        .keys()
        .filter(|m| !but.contains(m) && !STILL.contains(m))
        .map(|m| {
            let (a, b) = (mean(first, *m) * factor(*m), mean(second, *m));
            ((b - a).abs() / a.abs().max(1e-6), *m)
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap()
}

#[test]
fn a_shift_of_all_places_changes_nothing() {
    for seed in 0..5 {
        let shifted = moved(run(seed), |_, p| Point { x_m: p.x_m + 12.5, y_m: p.y_m - 3.25 });
        let (most, measure) = apart(&analysed(&run(seed)), &analysed(&shifted), &[], |_| 1.0);
        assert!(most < 1e-9, "{measure:?} {most:e}");
    }
}

#[test]
fn a_shift_of_time_changes_nothing() {
    for seed in 0..5 {
        let mut later = run(seed);
        later.times_s.iter_mut().for_each(|t| *t += 37.0);
        let (most, measure) = apart(&analysed(&run(seed)), &analysed(&later), &[], |_| 1.0);
        assert!(most < 1e-9, "{measure:?} {most:e}");
    }
}

/// Work of joint moments, which absolute accelerations enter.
const OF_MOMENTS: [M; 4] = [
    M::KneeSwingPositiveWork,
    M::KneeSwingNegativeWork,
    M::HipSwingPositiveWork,
    M::HipSwingNegativeWork,
];

#[test]
fn a_constant_velocity_changes_nothing_internal() {
    // The planted foot's speed and the energy of the centre of mass are not internal.
    let outer = [M::ExternalWork, M::PlantFootSpeed];
    for seed in 0..5 {
        let carried = moved(run(seed), |t, p| Point { x_m: p.x_m + 2.5 * t, ..p });
        let (still, carried) = (analysed(&run(seed)), analysed(&carried));
        let but: Vec<M> = outer.into_iter().chain(OF_MOMENTS).collect();
        let (most, measure) = apart(&still, &carried, &but, |_| 1.0);
        assert!(most < 1e-9, "{measure:?} {most:e}");
        // A filter that starts settled on its first sample takes a slope for a step: a trace of it reaches an
        // outermost stride's accelerations. What is relative to another landmark is free of it.
        let (most, measure) = apart(&still, &carried, &outer, |_| 1.0);
        println!("seed {seed}: {measure:?} {most:.1e}");
        assert!(most < 1e-3, "{measure:?} {most:e}");
    }
}

#[test]
fn a_unit_of_mass_goes_into_energies_and_inertias_alone() {
    let heavier = |m: M| match m.unit() {
        "J" | "W" | "kg m2" => 1.25,
        _ => 1.0,
    };
    for seed in 0..5 {
        let mut other = run(seed);
        other.mass_kg *= 1.25;
        let (most, measure) = apart(&analysed(&run(seed)), &analysed(&other), &[], heavier);
        assert!(most < 1e-9, "{measure:?} {most:e}");
    }
}

#[test]
fn a_unit_of_length_goes_into_lengths_once_and_into_energies_twice() {
    // Moments of weight go with the first power, those of inertia with the second; the speed is entered; the
    // centre's height and the belt's speed make external work neither.
    let mixed = [
        M::ExternalWork,
        M::AnkleSwingPositiveWork,
        M::AnkleSwingNegativeWork,
        M::KneeSwingPositiveWork,
        M::KneeSwingNegativeWork,
        M::HipSwingPositiveWork,
        M::HipSwingNegativeWork,
        M::StrideLength,
        M::StepLength,
        M::Speed,
    ];
    let longer = |m: M| match m.unit() {
        "J" | "W" | "W/kg" | "J/(kg m)" | "kg m2" => 1.21,
        "m" | "m/s" => 1.1,
        _ => 1.0,
    };
    for seed in 0..5 {
        let other = moved(run(seed), |_, p| Point { x_m: 1.1 * p.x_m, y_m: 1.1 * p.y_m });
        let (most, measure) = apart(&analysed(&run(seed)), &analysed(&other), &mixed, longer);
        assert!(most < 1e-9, "{measure:?} {most:e}");
    }
}

#[test]
fn moments_and_powers_have_no_value_while_the_foot_is_on_the_ground() {
    let analysis = analysed(&run(1));
    let contact = mean(&analysis, M::DutyFactor);
    let mut seen = 0;
    for curve in &analysis.curves {
        let in_swing = |i: usize| i as f64 / 100.0 > contact + 0.05;
        let known = |i: usize| curve.mean_si[i].is_some();
        assert!((0..=100).filter(|i| in_swing(*i)).all(known), "{:?}", curve.quantity);
        let in_contact = (0..=100).filter(|i| (*i as f64) / 100.0 < contact - 0.05);
        let of_a_joint = curve.quantity.is_of_a_joint_in_swing();
        assert!(in_contact.into_iter().all(|i| known(i) != of_a_joint), "{:?}", curve.quantity);
        seen += usize::from(of_a_joint);
    }
    assert_eq!(seen, 6);
}

/// The trial with a landmark off its place for a while.
fn gone_astray(mut trial: Trial, astray: Astray, (along_x, along_y): (f64, f64)) -> Trial {
    let length_s = astray.to_s - astray.from_s;
    let points = trial.points.get_mut(&astray.landmark).unwrap();
    for (point, time_s) in points.iter_mut().zip(&trial.times_s) {
        let part = (time_s - astray.from_s) / length_s;
        if let (Some(point), true) = (point, (0.0..=1.0).contains(&part)) {
            let off_m = astray.off_m * (std::f64::consts::PI * part).sin().powi(2);
            point.x_m += along_x * off_m;
            point.y_m += along_y * off_m;
        }
    }
    trial
}

#[test]
fn what_hangs_on_a_landmark_astray_is_what_the_whole_analysis_then_changes_by() {
    // The second computation goes the whole way: positions made wrong, filtered, cut into strides, summed.
    let trial = fixed(Runner::USUAL.filmed(8, MarkerSet::BothSides, 1), 8.0);
    let right = analysed(&trial);
    let stride = right.strides[2];
    for landmark in [Landmark::NearKnee, Landmark::NearAnkle, Landmark::NearWrist] {
        for (from, length_s) in [(0.45, 0.25), (0.6, 0.2), (0.5, 0.12)] {
            let from_s = stride.start_s + from * stride.time_s();
            let astray = Astray { landmark, from_s, to_s: from_s + length_s, off_m: 0.02 };
            let change_j = |axis| {
                let wrong = analysed(&gone_astray(trial.clone(), astray, axis));
                mean(&wrong, M::InternalWork) - mean(&right, M::InternalWork)
            };
            let whole_j = change_j((1.0, 0.0)).hypot(change_j((0.0, 1.0)));
            let AtStake::Work(got_j) = at_stake(&right, astray) else { panic!("no stride is out") };
            println!("{landmark:?} {from} {length_s}: {got_j:.3} J, the whole way {whole_j:.3} J");
            assert!((0.67..1.33).contains(&(got_j / whole_j)), "{landmark:?} {got_j} {whole_j}");
        }
    }
}
