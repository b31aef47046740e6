//! One synthetic, symmetric runner through every marker set.

use crate::common::runner::{Runner, fixed};
use crate::common::{analysed, mean, near_only};
use mechanics::analysis::Analysis;
use mechanics::body::MarkerSet;
use mechanics::measures::Measure as M;

/// Times, angles and lengths of the near leg, which do not depend on the marker set.
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

fn analysed_with(set: MarkerSet) -> Analysis {
    let trial = fixed(Runner::TYPICAL.even().filmed(12, set, 1), 8.0);
    analysed(&if set == MarkerSet::BothSides { trial } else { near_only(trial) })
}

/// Fails unless the first is within a ratio of the second.
fn assert_near(first: f64, second: f64, ratio: f64, what: &str) {
    assert!((first - second).abs() <= ratio * second.abs(), "{what}: {first} and {second}");
}

#[test]
fn measures_of_the_near_leg_are_the_same_with_every_marker_set() {
    let both = analysed_with(MarkerSet::BothSides);
    for set in [MarkerSet::Legs, MarkerSet::NearSide] {
        let one = analysed_with(set);
        for measure in OF_THE_NEAR_LEG {
            let what = format!("{measure:?} of {set:?}");
            assert_near(mean(&one, measure), mean(&both, measure), 0.005, &what);
        }
    }
}

#[test]
fn a_symmetric_runner_has_the_same_energies_with_the_far_side_marked_or_mirrored() {
    let (both, one) = (analysed_with(MarkerSet::BothSides), analysed_with(MarkerSet::NearSide));
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
        assert_near(mean(&one, measure), mean(&both, measure), 0.01, &format!("{measure:?}"));
    }
    assert_near(mean(&both, M::FarLegWork), mean(&both, M::NearLegWork), 0.01, "far and near leg");
    assert_near(
        mean(&one, M::FarLegWork),
        mean(&one, M::NearLegWork),
        0.01,
        "mirrored and near leg",
    );
}

#[test]
fn every_measure_of_a_mirrored_far_side_has_a_note_and_none_of_a_marked_one() {
    let dependent = [
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
    let has_note = |analysis: &Analysis, measure: M| {
        let estimate = analysis.measures.get(&measure)?;
        Some(estimate.notes.iter().any(|n| n.key == "far_side_mirrored"))
    };
    let (legs, near_side) = (analysed_with(MarkerSet::Legs), analysed_with(MarkerSet::NearSide));
    for measure in dependent {
        assert_eq!(has_note(&near_side, measure), Some(true), "{measure:?}");
        assert_ne!(has_note(&legs, measure), Some(false), "{measure:?}");
    }
    for measure in OF_THE_NEAR_LEG {
        assert_eq!(has_note(&near_side, measure), Some(false), "{measure:?}");
    }
    let both = analysed_with(MarkerSet::BothSides);
    assert!(both.measures.keys().all(|m| has_note(&both, *m) == Some(false)));
}
