//! The rows of joint work in swing.

use super::table_row::Row;
use crate::results::format::Unit;

const fn joint(identifier: &'static str, heading: &'static str, meaning: &'static str) -> Row {
    Row {
        identifier,
        heading,
        unit: Unit::Joule,
        decimals: 1,
        meaning,
        method: "Net moment by Newton and Euler from the free foot up, times angular speed, integrated over swing.",
        source: "Link-segment mechanics as in Winter 2009; in swing nothing touches the foot, so no force is unknown.",
    }
}

pub(super) const HIP_POSITIVE: Row = joint(
    "hip_swing_positive_work",
    "Hip work in swing, positive",
    "Work the near hip puts into the leg while it swings; net over all muscles, not the work of one.",
);

pub(super) const HIP_NEGATIVE: Row = joint(
    "hip_swing_negative_work",
    "Hip work in swing, negative",
    "Work the near hip takes out of the leg while it swings; net over all muscles.",
);

pub(super) const KNEE_POSITIVE: Row = joint(
    "knee_swing_positive_work",
    "Knee work in swing, positive",
    "Work the near knee puts into shank and foot while the leg swings; net over all muscles.",
);

pub(super) const KNEE_NEGATIVE: Row = joint(
    "knee_swing_negative_work",
    "Knee work in swing, negative",
    "Work the near knee takes out of shank and foot while the leg swings; net over all muscles.",
);

pub(super) const ANKLE_POSITIVE: Row = joint(
    "ankle_swing_positive_work",
    "Ankle work in swing, positive",
    "Work the near ankle puts into the foot while the leg swings; small, and within its uncertainty often nothing.",
);

pub(super) const ANKLE_NEGATIVE: Row = joint(
    "ankle_swing_negative_work",
    "Ankle work in swing, negative",
    "Work the near ankle takes out of the foot while the leg swings; small, and within its uncertainty often nothing.",
);
