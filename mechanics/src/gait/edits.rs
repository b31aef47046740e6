//! Applies a person's edits to the detected events.

use super::event::{EventEdit, EventKind, EventRule, GaitEvent};
use crate::signal::Grid;
use crate::space::Side;

/// Greatest distance between an edit and the event it refers to. Chosen: below a quarter of a stride, so that an edit
/// cannot reach the other event of the foot by mistake.
const REACH_S: f64 = 0.15;

/// Applies the edits of this side in order, then sorts the events by time.
pub fn apply_edits(events: &mut Vec<GaitEvent>, edits: &[EventEdit], side: Side, grid: &Grid) {
    for edit in edits {
        match *edit {
            EventEdit::Move { side: s, kind, from_s, to_s } if s == side && to_s.is_finite() => {
                let moved = nearest(events, side, kind, from_s).and_then(|i| events.get_mut(i));
                if let Some(event) = moved {
                    *event = placed(side, kind, to_s, grid);
                }
            }
            EventEdit::Add { side: s, kind, at_s } if s == side && at_s.is_finite() => {
                events.push(placed(side, kind, at_s, grid));
            }
            EventEdit::Remove { side: s, kind, at_s } if s == side => {
                if let Some(index) = nearest(events, side, kind, at_s) {
                    events.remove(index);
                }
            }
            _ => {}
        }
    }
    events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
}

/// The event of this side and kind nearest to a time, within reach.
fn nearest(events: &[GaitEvent], side: Side, kind: EventKind, at_s: f64) -> Option<usize> {
    events
        .iter()
        .enumerate()
        .filter(|(_, e)| e.side == side && e.kind == kind)
        .map(|(i, e)| (i, (e.time_s - at_s).abs()))
        .filter(|(_, distance_s)| *distance_s <= REACH_S)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(i, _)| i)
}

/// Chosen: a person picks the right frame or the one beside it, so that the SD is half a frame.
fn placed(side: Side, kind: EventKind, time_s: f64, grid: &Grid) -> GaitEvent {
    GaitEvent { side, kind, time_s, sd_s: 0.5 / grid.rate_hz, rule: EventRule::Placed }
}
