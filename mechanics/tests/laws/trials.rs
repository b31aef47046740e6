//! Laws of whole trials, from positions to measures.

use crate::common::runner::{Runner, fixed};
use crate::common::{analysed, mean};
use mechanics::analysis::{Analysis, Displacement, Sensitivity, Trial, sensitivity};
use mechanics::body::{Landmark, MarkerSet};
use mechanics::measures::Measure as M;
use mechanics::space::Point;

/// A seeded run of both sides, with strides that differ.
fn run(seed: u64) -> Trial {
    fixed(Runner::TYPICAL.filmed(8, MarkerSet::BothSides, seed), 8.0)
}

/// The trial with every position changed.
fn changed(mut trial: Trial, change: impl Fn(f64, Point) -> Point) -> Trial {
    for points in trial.points.values_mut() {
        for (point, time_s) in points.iter_mut().zip(&trial.times_s) {
            *point = point.map(|p| change(*time_s, p));
        }
    }
    trial
}

/// The synthetic runner's ankle is stiff, so that these are rounding errors only.
const ZERO: [M; 2] = [M::AnkleSwingPositiveWork, M::AnkleSwingNegativeWork];

/// The greatest relative difference of any measure, other than those excepted, after the first was multiplied by a factor.
fn greatest_difference(
    first: &Analysis,
    second: &Analysis,
    except: &[M],
    factor: impl Fn(M) -> f64,
) -> (f64, M) {
    assert_eq!(first.strides.len(), second.strides.len());
    assert_eq!(first.measures.len(), second.measures.len());
    first
        .measures
        .keys()
        .filter(|m| !except.contains(m) && !ZERO.contains(m))
        .map(|m| {
            let (a, b) = (mean(first, *m) * factor(*m), mean(second, *m));
            ((b - a).abs() / a.abs().max(1e-6), *m)
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap()
}

#[test]
fn a_shift_of_all_positions_changes_nothing() {
    for seed in 0..5 {
        let shifted = changed(run(seed), |_, p| Point { x_m: p.x_m + 12.5, y_m: p.y_m - 3.25 });
        let (most, measure) =
            greatest_difference(&analysed(&run(seed)), &analysed(&shifted), &[], |_| 1.0);
        assert!(most < 1e-9, "{measure:?} {most:e}");
    }
}

#[test]
fn a_shift_of_time_changes_nothing() {
    for seed in 0..5 {
        let mut later = run(seed);
        later.times_s.iter_mut().for_each(|t| *t += 37.0);
        let (most, measure) =
            greatest_difference(&analysed(&run(seed)), &analysed(&later), &[], |_| 1.0);
        assert!(most < 1e-9, "{measure:?} {most:e}");
    }
}

/// Works of joint moments, which depend on absolute accelerations.
const WORKS_OF_MOMENTS: [M; 4] = [
    M::KneeSwingPositiveWork,
    M::KneeSwingNegativeWork,
    M::HipSwingPositiveWork,
    M::HipSwingNegativeWork,
];

#[test]
fn a_constant_velocity_changes_no_internal_measure() {
    // The planted foot's speed and the energy of the centre of mass are not internal.
    let external = [M::ExternalWork, M::PlantFootSpeed];
    for seed in 0..5 {
        let moving = changed(run(seed), |t, p| Point { x_m: p.x_m + 2.5 * t, ..p });
        let (still, moving) = (analysed(&run(seed)), analysed(&moving));
        let except: Vec<M> = external.into_iter().chain(WORKS_OF_MOMENTS).collect();
        let (most, measure) = greatest_difference(&still, &moving, &except, |_| 1.0);
        assert!(most < 1e-9, "{measure:?} {most:e}");
        // A filter that starts in the steady state of its first sample treats a slope as a step, a trace of which reaches
        // the accelerations of an outermost stride. Values relative to another landmark are free of it.
        let (most, measure) = greatest_difference(&still, &moving, &external, |_| 1.0);
        println!("seed {seed}: {measure:?} {most:.1e}");
        assert!(most < 1e-3, "{measure:?} {most:e}");
    }
}

#[test]
fn only_energies_and_inertias_scale_with_the_unit_of_mass() {
    let heavier = |m: M| match m.unit() {
        "J" | "W" | "kg m2" => 1.25,
        _ => 1.0,
    };
    for seed in 0..5 {
        let mut other = run(seed);
        other.mass_kg *= 1.25;
        let (most, measure) =
            greatest_difference(&analysed(&run(seed)), &analysed(&other), &[], heavier);
        assert!(most < 1e-9, "{measure:?} {most:e}");
    }
}

#[test]
fn lengths_scale_with_the_unit_of_length_and_energies_with_its_square() {
    // Moments of weight scale with the first power, those of inertia with the second; the speed is entered; external work
    // depends on the centre's height and the belt's speed, and so scales with neither.
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
        let other = changed(run(seed), |_, p| Point { x_m: 1.1 * p.x_m, y_m: 1.1 * p.y_m });
        let (most, measure) =
            greatest_difference(&analysed(&run(seed)), &analysed(&other), &mixed, longer);
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

/// The trial with a landmark displaced along an axis for a while.
fn displaced(mut trial: Trial, displacement: Displacement, axis: [f64; 2]) -> Trial {
    let length_s = displacement.to_s - displacement.from_s;
    let points = trial.points.get_mut(&displacement.landmark).unwrap();
    for (point, time_s) in points.iter_mut().zip(&trial.times_s) {
        let part = (time_s - displacement.from_s) / length_s;
        if let (Some(point), true) = (point, (0.0..=1.0).contains(&part)) {
            let off_m = displacement.peak_m * (std::f64::consts::PI * part).sin().powi(2);
            point.x_m += axis[0] * off_m;
            point.y_m += axis[1] * off_m;
        }
    }
    trial
}

#[test]
fn the_sensitivity_to_a_displaced_landmark_is_the_change_of_a_whole_analysis() {
    // The reference is the whole analysis: positions displaced, filtered, divided into strides, summed.
    let trial = fixed(Runner::TYPICAL.filmed(8, MarkerSet::BothSides, 1), 8.0);
    let unchanged = analysed(&trial);
    let stride = unchanged.strides[2];
    for landmark in [Landmark::NearKnee, Landmark::NearAnkle, Landmark::NearWrist] {
        for (from, length_s) in [(0.45, 0.25), (0.6, 0.2), (0.5, 0.12)] {
            let from_s = stride.start_s + from * stride.time_s();
            let to_s = from_s + length_s;
            let displacement = Displacement { landmark, from_s, to_s, peak_m: 0.02 };
            let change_j = |axis| {
                let wrong = analysed(&displaced(trial.clone(), displacement, axis));
                mean(&wrong, M::InternalWork) - mean(&unchanged, M::InternalWork)
            };
            let whole_j = change_j([1.0, 0.0]).hypot(change_j([0.0, 1.0]));
            let Sensitivity::WorkChange(got_j) = sensitivity(&unchanged, displacement) else {
                panic!("no stride is excluded")
            };
            println!("{landmark:?} {from} {length_s}: {got_j:.3} J, whole analysis {whole_j:.3} J");
            assert!((0.67..1.33).contains(&(got_j / whole_j)), "{landmark:?} {got_j} {whole_j}");
        }
    }
}
