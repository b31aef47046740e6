//! The rows of work: what a stride costs, and where.

use super::table_row::Row;
use crate::results::format::Unit;

/// Source of the definition that all rows of internal work share.
const WITHIN_LIMBS: &str = "Transfer rule after Willems, Cavagna and Heglund, J Exp Biol 198, 1995; \
    energy relative to the centre of mass after Fenn 1930 and Cavagna and Kaneko, J Physiol 268, 1977.";

/// How all rows of one limb are computed.
const OF_ONE_LIMB: &str = "Kinetic energy of its segments relative to the centre of mass of the body, added up; \
    the sum of all rises over a stride.";

pub(super) const INTERNAL_WORK: Row = Row {
    identifier: "internal_work",
    heading: "Internal work a stride",
    unit: Unit::Joule,
    decimals: 1,
    meaning: "The mechanical work of speeding up the limbs relative to the body, once through a stride; \
        it is not oxygen uptake and not running economy.",
    method: "Kinetic energy of every segment relative to the centre of mass, ½mv² + ½Iω²; within a limb energy may \
        pass from segment to segment, between limbs it may not; the sum of all rises over a stride.",
    source: WITHIN_LIMBS,
};

pub(super) const INTERNAL_POWER: Row = Row {
    identifier: "internal_power",
    heading: "Internal power",
    unit: Unit::Watt,
    decimals: 1,
    meaning: "Internal work a second: the same work done in shorter strides is more power.",
    method: "Internal work a stride divided by stride time.",
    source: WITHIN_LIMBS,
};

pub(super) const INTERNAL_POWER_PER_MASS: Row = Row {
    identifier: "internal_power_per_mass",
    heading: "Internal power by mass",
    unit: Unit::WattPerKilogram,
    decimals: 3,
    meaning: "Internal power for each kilogram of the runner.",
    method: "Internal power divided by body mass.",
    source: WITHIN_LIMBS,
};

pub(super) const INTERNAL_WORK_PER_DISTANCE: Row = Row {
    identifier: "internal_work_per_distance",
    heading: "Internal work by mass and distance",
    unit: Unit::JoulePerKilogramMetre,
    decimals: 3,
    meaning: "Internal work for each kilogram of the runner and each metre run.",
    method: "Internal work a stride divided by body mass and stride length.",
    source: WITHIN_LIMBS,
};

pub(super) const INTERNAL_WORK_NO_TRANSFER: Row = Row {
    identifier: "internal_work_no_transfer",
    heading: "Internal work, no transfer",
    unit: Unit::Joule,
    decimals: 1,
    meaning: "The upper bound: what a stride would cost if no energy passed from one segment to another.",
    method: "The rises of translational and of rotational energy of every segment, each on its own, added up.",
    source: "Pseudo-work in the sense of Norman and others 1976 (cited from memory), kinetic terms only.",
};

pub(super) const INTERNAL_WORK_FULL_TRANSFER: Row = Row {
    identifier: "internal_work_full_transfer",
    heading: "Internal work, full transfer",
    unit: Unit::Joule,
    decimals: 1,
    meaning: "The lower bound: what a stride would cost if energy passed freely through the whole body.",
    method: "The rises of the energy of all segments together.",
    source: "Within and between segments after Winter, J Appl Physiol 46, 1979, internal kinetic terms only.",
};

const fn limb(identifier: &'static str, heading: &'static str, meaning: &'static str) -> Row {
    Row {
        identifier,
        heading,
        unit: Unit::Joule,
        decimals: 1,
        meaning,
        method: OF_ONE_LIMB,
        source: WITHIN_LIMBS,
    }
}

pub(super) const NEAR_LEG_WORK: Row = limb(
    "near_leg_work",
    "Near leg",
    "What the leg towards the camera takes of the internal work of a stride.",
);

pub(super) const FAR_LEG_WORK: Row = limb(
    "far_leg_work",
    "Far leg",
    "What the leg away from the camera takes; if it is not marked, it is the near leg half a stride later.",
);

pub(super) const NEAR_ARM_WORK: Row = limb(
    "near_arm_work",
    "Near arm",
    "What the arm towards the camera takes of the internal work of a stride.",
);

pub(super) const FAR_ARM_WORK: Row = limb(
    "far_arm_work",
    "Far arm",
    "What the arm away from the camera takes; if it is not marked, it is the near arm half a stride later.",
);

pub(super) const TRUNK_WORK: Row = limb(
    "trunk_work",
    "Trunk and head",
    "What trunk and head take of the internal work of a stride, relative to the centre of mass.",
);

pub(super) const FORWARD_SWING_WORK: Row = Row {
    identifier: "forward_swing_work",
    heading: "Near leg, going forward",
    unit: Unit::Joule,
    decimals: 1,
    meaning: "The part of the near leg's work that is done while the leg goes forward relative to the body.",
    method: "The rises of the leg's energy while its centre of mass moves forward relative to that of the body.",
    source: "A division of the near leg's work; definition of this project.",
};

pub(super) const BACKWARD_SWING_WORK: Row = Row {
    identifier: "backward_swing_work",
    heading: "Near leg, going backward",
    unit: Unit::Joule,
    decimals: 1,
    meaning: "The part of the near leg's work that is done while the leg goes backward relative to the body.",
    method: "The rises of the leg's energy while its centre of mass moves backward relative to that of the body.",
    source: "A division of the near leg's work; definition of this project.",
};

pub(super) const TRANSLATIONAL_WORK: Row = Row {
    identifier: "translational_work",
    heading: "Translational part",
    unit: Unit::Joule,
    decimals: 1,
    meaning: "The part of the limbs' work that moves the segments along.",
    method: "The rises of each limb's energy, counted by their translational share ½mv².",
    source: "A division of internal work; definition of this project.",
};

pub(super) const ROTATIONAL_WORK: Row = Row {
    identifier: "rotational_work",
    heading: "Rotational part",
    unit: Unit::Joule,
    decimals: 1,
    meaning: "The part of the limbs' work that turns the segments about their own centres.",
    method: "The rises of each limb's energy, counted by their rotational share ½Iω².",
    source: "A division of internal work; definition of this project.",
};

pub(super) const EXTERNAL_WORK: Row = Row {
    identifier: "external_work",
    heading: "External work, estimate",
    unit: Unit::Joule,
    decimals: 0,
    meaning: "The work of lifting and speeding up the centre of mass; an estimate without a force plate, and apart \
        from internal work.",
    method: "The rises of forward kinetic energy and of vertical kinetic with potential energy of the centre of mass.",
    source: "Cavagna and Kaneko, J Physiol 268, 1977.",
};
