//! The rows of timing, length and speed.

use super::table_row::Row;
use crate::results::format::Unit;

const PRACTICE: &str = "Common practice, no source.";

pub(super) const CADENCE: Row = Row {
    identifier: "cadence",
    heading: "Cadence",
    unit: Unit::StepsPerMinute,
    decimals: 1,
    meaning: "Steps a minute, both feet counted.",
    method: "Two steps in each stride time.",
    source: PRACTICE,
};

pub(super) const STRIDE_TIME: Row = Row {
    identifier: "stride_time",
    heading: "Stride time",
    unit: Unit::Millisecond,
    decimals: 1,
    meaning: "From one contact of a foot to the next contact of the same foot.",
    method: "Time between two contacts of one foot.",
    source: PRACTICE,
};

pub(super) const STEP_TIME: Row = Row {
    identifier: "step_time",
    heading: "Step time",
    unit: Unit::Millisecond,
    decimals: 1,
    meaning: "From one foot's contact to the other's; only if both feet are marked.",
    method: "Time between contacts of alternating feet.",
    source: PRACTICE,
};

pub(super) const STEP_LENGTH: Row = Row {
    identifier: "step_length",
    heading: "Step length",
    unit: Unit::Metre,
    decimals: 2,
    meaning: "How far the runner goes from one foot's contact to the other's; only if both feet are marked.",
    method: "Mean speed times step time.",
    source: PRACTICE,
};

pub(super) const CONTACT_TIME: Row = Row {
    identifier: "contact_time",
    heading: "Contact time",
    unit: Unit::Millisecond,
    decimals: 0,
    meaning: "How long the foot is on the ground; there is no single true value, since on force plates it shifts \
        by 18 ms with the chosen threshold.",
    method: "From contact to toe-off, both found from the movement of the foot and the knee.",
    source: "Rules of contact and toe-off from the movement alone; each event names its rule.",
};

pub(super) const SWING_TIME: Row = Row {
    identifier: "swing_time",
    heading: "Swing time",
    unit: Unit::Millisecond,
    decimals: 0,
    meaning: "How long the foot is off the ground.",
    method: "From toe-off to the next contact of the same foot.",
    source: PRACTICE,
};

pub(super) const FLIGHT_TIME: Row = Row {
    identifier: "flight_time",
    heading: "Flight time",
    unit: Unit::Millisecond,
    decimals: 0,
    meaning: "How long both feet are off the ground between two steps.",
    method: "From toe-off of one foot to contact of the other.",
    source: PRACTICE,
};

pub(super) const DUTY_FACTOR: Row = Row {
    identifier: "duty_factor",
    heading: "Duty factor",
    unit: Unit::Percent,
    decimals: 1,
    meaning: "The part of the stride in which the foot is on the ground.",
    method: "Contact time divided by stride time.",
    source: PRACTICE,
};

pub(super) const STRIDE_LENGTH: Row = Row {
    identifier: "stride_length",
    heading: "Stride length",
    unit: Unit::Metre,
    decimals: 2,
    meaning: "How far the runner goes in one stride.",
    method: "Speed times stride time.",
    source: PRACTICE,
};

pub(super) const SPEED: Row = Row {
    identifier: "speed",
    heading: "Speed",
    unit: Unit::MetrePerSecond,
    decimals: 2,
    meaning: "Speed of running: as entered, or measured if none was entered.",
    method: "The entered speed; otherwise the planted foot's backward speed on a belt, or the centre of mass over ground.",
    source: PRACTICE,
};

pub(super) const PLANT_FOOT_SPEED: Row = Row {
    identifier: "plant_foot_speed",
    heading: "Plant-foot speed",
    unit: Unit::MetrePerSecond,
    decimals: 2,
    meaning: "How fast the planted foot goes backward: on a belt it should be the belt's speed, on the ground zero.",
    method: "Backward speed of the front of the foot, middle value over the flat part of contact.",
    source: "Checked on treadmill data of Fukuchi, Fukuchi and Duarte, PeerJ 5:e3298, 2017.",
};
