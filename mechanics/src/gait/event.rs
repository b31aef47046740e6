//! Contacts and toe-offs: what they are, how sure they are, and how a person changes them.

use crate::space::Side;
use serde::{Deserialize, Serialize};

/// What happens at an event.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EventKind {
    /// The foot meets the ground.
    Contact,
    /// The foot leaves the ground.
    ToeOff,
}

/// How an event was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EventRule {
    /// The earlier vertical-acceleration peak of heel and toe after the heel is furthest ahead of the hip.
    VerticalAccelerationPeak,
    /// The heel furthest ahead of the hip, plus a constant.
    HeelFurthestAhead,
    /// Peak knee extension, with the heel's fastest rise where it agrees.
    KneeExtensionPeak,
    /// The near side's event half a stride away; the far side is not marked.
    Mirrored,
    /// A person put it there.
    Placed,
}

/// A contact or a toe-off.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct GaitEvent {
    /// Whose foot.
    pub side: Side,
    /// Contact or toe-off.
    pub kind: EventKind,
    /// When, on the clip's corrected clock.
    pub time_s: f64,
    /// Standard deviation of `time_s`.
    pub sd_s: f64,
    /// How it was found.
    pub rule: EventRule,
}

/// One thing a person did to the events that were found. Edits are applied in order.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "edit", rename_all = "snake_case")]
pub enum EventEdit {
    /// The event of this foot and kind nearest to `from_s` (within 0.15 s) now happens at `to_s`.
    Move {
        /// Whose foot.
        side: Side,
        /// Contact or toe-off.
        kind: EventKind,
        /// Where it was.
        from_s: f64,
        /// Where it is now.
        to_s: f64,
    },
    /// There is an event that was not found.
    Add {
        /// Whose foot.
        side: Side,
        /// Contact or toe-off.
        kind: EventKind,
        /// When.
        at_s: f64,
    },
    /// The event of this foot and kind nearest to `at_s` (within 0.15 s) is not one.
    Remove {
        /// Whose foot.
        side: Side,
        /// Contact or toe-off.
        kind: EventKind,
        /// Where it was.
        at_s: f64,
    },
}
