//! An unmarked far side: the near side's events, half a stride later.

use super::event::{EventKind, EventRule, GaitEvent};
use crate::signal::Grid;
use crate::space::Side;

/// The far side's events: the near side's, half a stride later (for the first of each kind also half a stride earlier).
///
/// Half a stride is that of the stride in which the near event lies. With fewer than two contacts no stride time is
/// known and nothing is mirrored.
#[must_use]
pub fn mirrored_events(near: &[GaitEvent], grid: &Grid) -> Vec<GaitEvent> {
    let contacts_s: Vec<f64> =
        near.iter().filter(|e| e.kind == EventKind::Contact).map(|e| e.time_s).collect();
    let strides: Vec<(f64, f64)> =
        contacts_s.iter().copied().zip(contacts_s.iter().skip(1).copied()).collect();
    let (Some(first), Some(last)) = (strides.first(), strides.last()) else { return Vec::new() };
    let half_s = |time_s: f64| {
        let containing =
            strides.iter().rev().find(|(start_s, _)| *start_s <= time_s).unwrap_or(first);
        let stride = if time_s >= last.1 { last } else { containing };
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
