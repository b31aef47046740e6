//! What a person changed about the events, and the far side as the near one half a stride later.

use super::{EventEdit, EventKind, EventRule, GaitEvent};
use crate::signal::Grid;
use crate::space::Side;

/// How far an edit may be from the event it means.
const REACH_S: f64 = 0.15;

/// Applies the edits that concern this side, in order, and sorts by time.
pub fn apply(events: &mut Vec<GaitEvent>, edits: &[EventEdit], side: Side, grid: &Grid) {
    for edit in edits {
        match *edit {
            EventEdit::Move { side: s, kind, from_s, to_s } if s == side && to_s.is_finite() => {
                if let Some(found) =
                    nearest(events, (s, kind), from_s).and_then(|i| events.get_mut(i))
                {
                    *found = placed((s, kind), to_s, grid);
                }
            }
            EventEdit::Add { side: s, kind, at_s } if s == side && at_s.is_finite() => {
                events.push(placed((s, kind), at_s, grid));
            }
            EventEdit::Remove { side: s, kind, at_s } if s == side => {
                if let Some(index) = nearest(events, (s, kind), at_s) {
                    events.remove(index);
                }
            }
            _ => {}
        }
    }
    events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
}

fn nearest(events: &[GaitEvent], (side, kind): (Side, EventKind), at_s: f64) -> Option<usize> {
    events
        .iter()
        .enumerate()
        .filter(|(_, e)| e.side == side && e.kind == kind)
        .map(|(i, e)| (i, (e.time_s - at_s).abs()))
        .filter(|(_, distance_s)| *distance_s <= REACH_S)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(i, _)| i)
}

/// Chosen: a person picks the right frame or the one beside it, so the SD is half a frame.
fn placed((side, kind): (Side, EventKind), time_s: f64, grid: &Grid) -> GaitEvent {
    GaitEvent { side, kind, time_s, sd_s: 0.5 / grid.rate_hz, rule: EventRule::Placed }
}

/// The far side's events as the near side's, half a stride later (and, for the first, earlier).
///
/// Each near event gives one half of the stride that it lies in later; with fewer than two contacts
/// there is no stride time and nothing is mirrored.
#[must_use]
pub fn mirrored(near: &[GaitEvent], grid: &Grid) -> Vec<GaitEvent> {
    let contacts_s: Vec<f64> =
        near.iter().filter(|e| e.kind == EventKind::Contact).map(|e| e.time_s).collect();
    let strides: Vec<(f64, f64)> =
        contacts_s.iter().copied().zip(contacts_s.iter().skip(1).copied()).collect();
    let (Some(first), Some(last)) = (strides.first(), strides.last()) else { return Vec::new() };
    let half_s = |time_s: f64| {
        let within = strides.iter().rev().find(|(start_s, _)| *start_s <= time_s).unwrap_or(first);
        let stride = if time_s >= last.1 { last } else { within };
        (stride.1 - stride.0) / 2.0
    };
    let end_s = grid.time_s(grid.count.saturating_sub(1) as f64);
    let mirror = |event: &GaitEvent, time_s: f64| GaitEvent {
        side: Side::Far,
        time_s,
        sd_s: event.sd_s * 1.5_f64.sqrt(),
        rule: EventRule::Mirrored,
        ..*event
    };
    let mut far: Vec<GaitEvent> =
        near.iter().map(|e| mirror(e, e.time_s + half_s(e.time_s))).collect();
    for kind in [EventKind::Contact, EventKind::ToeOff] {
        let earliest = near.iter().find(|e| e.kind == kind);
        far.extend(earliest.map(|e| mirror(e, e.time_s - half_s(e.time_s))));
    }
    far.retain(|e| e.time_s >= grid.start_s && e.time_s <= end_s);
    far.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    far
}
