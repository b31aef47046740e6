//! Contacts, toe-offs and strides.

use mechanics::gait::{EventKind, GaitEvent};
use mechanics::space::Side;

/// While no event is chosen.
pub const CHOOSE_EVENT: &str =
    "Drag a tick on the time line to move it, or press it to see its frame.";
/// With fewer than seven strides.
pub const FEW_STRIDES: &str =
    "Means settle after about seven steps; ten strides or more of each way are better.";

/// The rows of the time line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimelineRows {
    /// The near leg alone.
    Near,
    /// Both legs as they were seen.
    Both,
    /// The far leg is the near one half a stride later.
    FarMirrored,
}

/// How to read the time line.
#[must_use]
pub fn timeline_key(rows: TimelineRows) -> &'static str {
    match rows {
        TimelineRows::Near => {
            "Filled: on the ground. Unbroken tick: contact. Dashed tick: toe-off."
        }
        TimelineRows::Both => {
            "Above: near leg. Below: far leg. Filled: on the ground. Unbroken tick: contact. Dashed tick: toe-off."
        }
        TimelineRows::FarMirrored => {
            "Above: near leg. Below: far leg, taken as the near one half a stride later. Filled: on the ground. Unbroken tick: contact. Dashed tick: toe-off."
        }
    }
}

/// How many strides the numbers rest on.
#[must_use]
pub fn used(count: usize) -> String {
    format!("{count} strides are used.")
}

/// A stride that was left out, and the reason.
#[must_use]
pub fn left_out(start_s: f64, end_s: f64, reason: &str) -> String {
    format!("{start_s:.2} to {end_s:.2} s: {reason}")
}

/// An event by kind and foot: `Contact, near foot`.
#[must_use]
pub fn event(event: GaitEvent) -> &'static str {
    match (event.kind, event.side) {
        (EventKind::Contact, Side::Near) => "Contact, near foot",
        (EventKind::Contact, Side::Far) => "Contact, far foot",
        (EventKind::ToeOff, Side::Near) => "Toe-off, near foot",
        (EventKind::ToeOff, Side::Far) => "Toe-off, far foot",
    }
}

/// The time of an event with its uncertainty.
#[must_use]
pub fn event_time(event: GaitEvent) -> String {
    format!("at {:.3} s, ± {:.0} ms", event.time_s, event.sd_s * 1000.0)
}

/// An event on the time line, for a screen reader.
#[must_use]
pub fn event_spoken(gait_event: GaitEvent) -> String {
    format!("{}, at {:.3} seconds", event(gait_event), gait_event.time_s)
}
