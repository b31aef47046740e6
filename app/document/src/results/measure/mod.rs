//! One table of every measure: its name, unit, meaning, method and source.
//!
//! Screen, charts, report, files and help all take their text from it.

mod joint;
mod motion;
mod table_row;
mod timing;
mod work;

pub use table_row::Row;

use mechanics::measures::Measure;

/// Measures that belong together, in the order in which they are shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Group {
    /// What they have in common.
    pub title: &'static str,
    /// The measures.
    pub measures: &'static [Measure],
}

use Measure as M;

/// Every measure once, in the order of the ledger's page.
pub const GROUPS: [Group; 6] = [
    Group {
        title: "Cost of a stride",
        measures: &[
            M::InternalWork,
            M::InternalPower,
            M::InternalPowerPerMass,
            M::InternalWorkPerDistance,
            M::InternalWorkFullTransfer,
            M::InternalWorkNoTransfer,
        ],
    },
    Group {
        title: "Where it goes",
        measures: &[
            M::NearLegWork,
            M::FarLegWork,
            M::NearArmWork,
            M::FarArmWork,
            M::TrunkWork,
            M::ForwardSwingWork,
            M::BackwardSwingWork,
            M::TranslationalWork,
            M::RotationalWork,
            M::ExternalWork,
        ],
    },
    Group {
        title: "Timing",
        measures: &[
            M::Cadence,
            M::StrideTime,
            M::ContactTime,
            M::SwingTime,
            M::FlightTime,
            M::DutyFactor,
            M::StrideLength,
            M::StepTime,
            M::StepLength,
            M::Speed,
            M::PlantFootSpeed,
        ],
    },
    Group {
        title: "The swing leg",
        measures: &[
            M::HeelLift,
            M::HeelLiftFraction,
            M::PeakKneeFlexion,
            M::ThighRange,
            M::LegInertiaMaximum,
            M::LegInertiaMinimum,
            M::EffectiveLengthMinimum,
            M::ToeClearance,
        ],
    },
    Group {
        title: "Landing and rise",
        measures: &[M::LandingAheadOfHip, M::LandingAheadOfCentreOfMass, M::CentreOfMassRise],
    },
    Group {
        title: "Work at the joints in swing",
        measures: &[
            M::HipSwingPositiveWork,
            M::HipSwingNegativeWork,
            M::KneeSwingPositiveWork,
            M::KneeSwingNegativeWork,
            M::AnkleSwingPositiveWork,
            M::AnkleSwingNegativeWork,
        ],
    },
];

/// Every measure once, in the order shown.
pub fn all() -> impl Iterator<Item = Measure> {
    GROUPS.iter().flat_map(|group| group.measures.iter().copied())
}

/// The row of this measure.
#[must_use]
pub fn row(measure: Measure) -> &'static Row {
    match measure {
        M::InternalWork => &work::INTERNAL_WORK,
        M::InternalPower => &work::INTERNAL_POWER,
        M::InternalPowerPerMass => &work::INTERNAL_POWER_PER_MASS,
        M::InternalWorkPerDistance => &work::INTERNAL_WORK_PER_DISTANCE,
        M::InternalWorkNoTransfer => &work::INTERNAL_WORK_NO_TRANSFER,
        M::InternalWorkFullTransfer => &work::INTERNAL_WORK_FULL_TRANSFER,
        M::NearLegWork => &work::NEAR_LEG_WORK,
        M::FarLegWork => &work::FAR_LEG_WORK,
        M::NearArmWork => &work::NEAR_ARM_WORK,
        M::FarArmWork => &work::FAR_ARM_WORK,
        M::TrunkWork => &work::TRUNK_WORK,
        M::ForwardSwingWork => &work::FORWARD_SWING_WORK,
        M::BackwardSwingWork => &work::BACKWARD_SWING_WORK,
        M::TranslationalWork => &work::TRANSLATIONAL_WORK,
        M::RotationalWork => &work::ROTATIONAL_WORK,
        M::ExternalWork => &work::EXTERNAL_WORK,
        M::Cadence => &timing::CADENCE,
        M::StrideTime => &timing::STRIDE_TIME,
        M::ContactTime => &timing::CONTACT_TIME,
        M::SwingTime => &timing::SWING_TIME,
        M::FlightTime => &timing::FLIGHT_TIME,
        M::DutyFactor => &timing::DUTY_FACTOR,
        M::StrideLength => &timing::STRIDE_LENGTH,
        M::StepTime => &timing::STEP_TIME,
        M::StepLength => &timing::STEP_LENGTH,
        M::Speed => &timing::SPEED,
        M::PlantFootSpeed => &timing::PLANT_FOOT_SPEED,
        M::HeelLift => &motion::HEEL_LIFT,
        M::HeelLiftFraction => &motion::HEEL_LIFT_FRACTION,
        M::PeakKneeFlexion => &motion::PEAK_KNEE_FLEXION,
        M::ThighRange => &motion::THIGH_RANGE,
        M::LegInertiaMaximum => &motion::LEG_INERTIA_MAXIMUM,
        M::LegInertiaMinimum => &motion::LEG_INERTIA_MINIMUM,
        M::EffectiveLengthMinimum => &motion::EFFECTIVE_LENGTH_MINIMUM,
        M::ToeClearance => &motion::TOE_CLEARANCE,
        M::LandingAheadOfHip => &motion::LANDING_AHEAD_OF_HIP,
        M::LandingAheadOfCentreOfMass => &motion::LANDING_AHEAD_OF_CENTRE_OF_MASS,
        M::CentreOfMassRise => &motion::CENTRE_OF_MASS_RISE,
        M::HipSwingPositiveWork => &joint::HIP_POSITIVE,
        M::HipSwingNegativeWork => &joint::HIP_NEGATIVE,
        M::KneeSwingPositiveWork => &joint::KNEE_POSITIVE,
        M::KneeSwingNegativeWork => &joint::KNEE_NEGATIVE,
        M::AnkleSwingPositiveWork => &joint::ANKLE_POSITIVE,
        M::AnkleSwingNegativeWork => &joint::ANKLE_NEGATIVE,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// The names of all measures, as the mechanics lists them when it refuses an unknown one.
    fn names_known_to_the_mechanics() -> BTreeSet<String> {
        let refusal = serde_json::from_str::<Measure>("\"?\"").unwrap_err().to_string();
        let listed = refusal.split_once("expected one of").unwrap().1;
        listed.split('`').skip(1).step_by(2).map(str::to_owned).collect()
    }

    #[test]
    fn every_measure_is_shown_once_under_its_name_in_the_mechanics() {
        let shown: Vec<String> = all().map(|m| row(m).identifier.to_owned()).collect();
        let unique: BTreeSet<String> = shown.iter().cloned().collect();
        assert_eq!(shown.len(), unique.len());
        assert_eq!(unique, names_known_to_the_mechanics());
        for measure in all() {
            let name = serde_json::to_string(&measure).unwrap();
            assert_eq!(name.trim_matches('"'), row(measure).identifier);
        }
    }

    #[test]
    fn every_row_states_meaning_method_and_source() {
        let mut headings = BTreeSet::new();
        for measure in all() {
            let row = row(measure);
            assert!(headings.insert(row.heading), "{} twice", row.heading);
            for words in [row.meaning, row.method, row.source] {
                assert!(words.len() > 10, "{}: {words}", row.identifier);
                assert!(words.ends_with('.'), "{}: {words}", row.identifier);
            }
            assert!(row.decimals <= 3, "{}", row.identifier);
        }
    }
}
