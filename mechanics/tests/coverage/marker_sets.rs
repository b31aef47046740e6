//! One invented runner, alike on both sides, through every marker set.

use crate::common::runner::{Runner, fixed};
use crate::common::{analysed, mean, near_only};
use mechanics::analysis::Analysis;
use mechanics::body::MarkerSet;
use mechanics::measures::Measure as M;

/// Times, angles and lengths of the near leg, on which no set has an influence.
const OF_THE_NEAR_LEG: [M; 12] = [
    M::Cadence,
    M::StrideTime,
    M::ContactTime,
    M::SwingTime,
    M::DutyFactor,
    M::HeelLift,
    M::HeelLiftFraction,
    M::PeakKneeFlexion,
    M::ThighRange,
    M::LegInertiaMinimum,
    M::LegInertiaMaximum,
    M::ToeClearance,
];

fn through(set: MarkerSet) -> Analysis {
    let trial = fixed(Runner::USUAL.even().filmed(12, set, 1), 8.0);
    analysed(&if set == MarkerSet::BothSides { trial } else { near_only(trial) })
}

/// Fails unless the first is within a part of the second.
fn near(first: f64, second: f64, ratio: f64, what: &str) {
    assert!((first - second).abs() <= ratio * second.abs(), "{what}: {first} and {second}");
}

#[test]
fn what_is_of_the_near_leg_is_the_same_through_every_marker_set() {
    let both = through(MarkerSet::BothSides);
    for set in [MarkerSet::Legs, MarkerSet::NearSide] {
        let one = through(set);
        for measure in OF_THE_NEAR_LEG {
            let what = format!("{measure:?} of {set:?}");
            near(mean(&one, measure), mean(&both, measure), 0.005, &what);
        }
    }
}

#[test]
fn a_runner_alike_on_both_sides_has_the_same_energies_whether_the_far_side_is_marked_or_mirrored() {
    let (both, one) = (through(MarkerSet::BothSides), through(MarkerSet::NearSide));
    for measure in [
        M::InternalWork,
        M::InternalPower,
        M::NearLegWork,
        M::FarLegWork,
        M::NearArmWork,
        M::FarArmWork,
        M::ExternalWork,
        M::CentreOfMassRise,
        M::FlightTime,
    ] {
        near(mean(&one, measure), mean(&both, measure), 0.01, &format!("{measure:?}"));
    }
    near(mean(&both, M::FarLegWork), mean(&both, M::NearLegWork), 0.01, "far and near leg");
    near(mean(&one, M::FarLegWork), mean(&one, M::NearLegWork), 0.01, "mirrored and near leg");
}

#[test]
fn every_number_of_a_mirrored_far_side_says_so_and_none_where_it_is_marked() {
    let depends = [
        M::InternalWork,
        M::InternalPower,
        M::InternalPowerPerMass,
        M::InternalWorkPerDistance,
        M::InternalWorkNoTransfer,
        M::InternalWorkFullTransfer,
        M::TranslationalWork,
        M::RotationalWork,
        M::NearLegWork,
        M::NearArmWork,
        M::ForwardSwingWork,
        M::FarLegWork,
        M::ExternalWork,
        M::FlightTime,
        M::LandingAheadOfCentreOfMass,
        M::CentreOfMassRise,
    ];
    let says_so = |analysis: &Analysis, measure: M| {
        let estimate = analysis.measures.get(&measure)?;
        Some(estimate.notes.iter().any(|n| n.key == "far_side_mirrored"))
    };
    let (legs, near_side) = (through(MarkerSet::Legs), through(MarkerSet::NearSide));
    for measure in depends {
        assert_eq!(says_so(&near_side, measure), Some(true), "{measure:?}");
        assert_ne!(says_so(&legs, measure), Some(false), "{measure:?}");
    }
    for measure in OF_THE_NEAR_LEG {
        assert_eq!(says_so(&near_side, measure), Some(false), "{measure:?}");
    }
    let both = through(MarkerSet::BothSides);
    assert!(both.measures.keys().all(|m| says_so(&both, *m) == Some(false)));
}
