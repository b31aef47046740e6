//! Contacts and toe-offs, their uncertainty, and a person's edits to them.

use crate::space::Side;
use serde::{Deserialize, Serialize};

/// The kind of an event.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EventKind {
    /// The foot meets the ground.
    Contact,
    /// The foot leaves the ground.
    ToeOff,
}

/// The rule that gave an event.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EventRule {
    /// The earlier of the vertical-acceleration peaks of heel and toe, after the heel was furthest ahead of the hip.
    VerticalAccelerationPeak,
    /// The instant at which the heel is furthest ahead of the hip, plus a constant.
    HeelFurthestAhead,
    /// Peak knee extension, with the heel's fastest rise if both agree.
    KneeExtensionPeak,
    /// The near side's event, half a stride away: the far side is not marked.
    Mirrored,
    /// A person placed it.
    Placed,
}

/// A contact or a toe-off.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct GaitEvent {
    /// Side of the foot.
    pub side: Side,
    /// Contact or toe-off.
    pub kind: EventKind,
    /// Time on the clip's corrected clock.
    pub time_s: f64,
    /// Standard deviation of `time_s`.
    pub sd_s: f64,
    /// The rule that gave it.
    pub rule: EventRule,
}

/// One edit of a person to the detected events. Edits apply in order.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "edit", rename_all = "snake_case")]
pub enum EventEdit {
    /// The event of this foot and kind nearest to `from_s` (within 0.15 s) now happens at `to_s`.
    Move {
        /// Side of the foot.
        side: Side,
        /// Contact or toe-off.
        kind: EventKind,
        /// Its time before.
        from_s: f64,
        /// Its time now.
        to_s: f64,
    },
    /// There is an event that the rules missed.
    Add {
        /// Side of the foot.
        side: Side,
        /// Contact or toe-off.
        kind: EventKind,
        /// Its time.
        at_s: f64,
    },
    /// The event of this foot and kind nearest to `at_s` (within 0.15 s) is not one.
    Remove {
        /// Side of the foot.
        side: Side,
        /// Contact or toe-off.
        kind: EventKind,
        /// Its time.
        at_s: f64,
    },
}
