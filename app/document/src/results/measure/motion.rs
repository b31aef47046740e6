//! The rows of posture and of the swing leg.

use super::table_row::Row;
use crate::results::format::Unit;

const PRACTICE: &str = "Common practice, no source.";
const STEINER: &str = "Parallel-axis theorem with the chosen segment table.";

pub(super) const HEEL_LIFT: Row = Row {
    identifier: "heel_lift",
    heading: "Heel lift",
    unit: Unit::Centimetre,
    decimals: 1,
    meaning: "How high the heel rises in swing above its level in contact; it rises with speed.",
    method: "Greatest height of the heel in swing less its own level in contact.",
    source: PRACTICE,
};

pub(super) const HEEL_LIFT_FRACTION: Row = Row {
    identifier: "heel_lift_fraction",
    heading: "Heel lift by leg length",
    unit: Unit::Percent,
    decimals: 1,
    meaning: "Heel lift as a part of the runner's leg length.",
    method: "Heel lift divided by hip to ankle to sole.",
    source: PRACTICE,
};

pub(super) const PEAK_KNEE_FLEXION: Row = Row {
    identifier: "peak_knee_flexion",
    heading: "Peak knee flexion in swing",
    unit: Unit::Angle,
    decimals: 1,
    meaning: "How far the knee folds in swing; zero is a straight leg.",
    method: "Angle between thigh and shank, greatest value in swing.",
    source: PRACTICE,
};

pub(super) const THIGH_RANGE: Row = Row {
    identifier: "thigh_range",
    heading: "Thigh range",
    unit: Unit::Angle,
    decimals: 1,
    meaning: "How far the thigh swings from its hindmost to its foremost direction.",
    method: "Greatest less least angle of the thigh to the vertical.",
    source: PRACTICE,
};

pub(super) const LEG_INERTIA_MAXIMUM: Row = Row {
    identifier: "leg_inertia_maximum",
    heading: "Leg inertia about the hip, greatest",
    unit: Unit::KilogramSquareMetre,
    decimals: 2,
    meaning: "How hard the leg is to turn about the hip when it is longest.",
    method: "Sum over thigh, shank and foot of I + m times distance to the hip squared; greatest in the stride.",
    source: STEINER,
};

pub(super) const LEG_INERTIA_MINIMUM: Row = Row {
    identifier: "leg_inertia_minimum",
    heading: "Leg inertia about the hip, least",
    unit: Unit::KilogramSquareMetre,
    decimals: 2,
    meaning: "How hard the leg is to turn about the hip when it is folded most; less inertia to swing does not \
        mean that running is more economical.",
    method: "Sum over thigh, shank and foot of I + m times distance to the hip squared; least in the stride.",
    source: STEINER,
};

pub(super) const EFFECTIVE_LENGTH_MINIMUM: Row = Row {
    identifier: "effective_length_minimum",
    heading: "Effective leg length, least",
    unit: Unit::Centimetre,
    decimals: 1,
    meaning: "The distance from the hip at which the leg's mass would be as hard to turn as the folded leg is.",
    method: "Square root of the least leg inertia divided by leg mass.",
    source: STEINER,
};

pub(super) const TOE_CLEARANCE: Row = Row {
    identifier: "toe_clearance",
    heading: "Toe clearance",
    unit: Unit::Centimetre,
    decimals: 1,
    meaning: "The least height of the toe in mid-swing above its level in contact.",
    method: "Least height of the toe in mid-swing less its own level in contact.",
    source: PRACTICE,
};

pub(super) const LANDING_AHEAD_OF_HIP: Row = Row {
    identifier: "landing_ahead_of_hip",
    heading: "Foot ahead of hip at contact",
    unit: Unit::Centimetre,
    decimals: 1,
    meaning: "How far in front of the hip the foot lands.",
    method: "Ankle less hip, forward, at contact.",
    source: PRACTICE,
};

pub(super) const LANDING_AHEAD_OF_CENTRE_OF_MASS: Row = Row {
    identifier: "landing_ahead_of_centre_of_mass",
    heading: "Foot ahead of centre of mass at contact",
    unit: Unit::Centimetre,
    decimals: 1,
    meaning: "How far in front of the body's centre of mass the foot lands.",
    method: "Ankle less centre of mass, forward, at contact.",
    source: PRACTICE,
};

pub(super) const CENTRE_OF_MASS_RISE: Row = Row {
    identifier: "centre_of_mass_rise",
    heading: "Rise of the centre of mass",
    unit: Unit::Centimetre,
    decimals: 1,
    meaning: "How far the body's centre of mass rises and falls in a stride.",
    method: "Highest less lowest height in a stride, segments weighted by the chosen table.",
    source: PRACTICE,
};
