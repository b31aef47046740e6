//! Contact and swing of each leg over time, with events that can be dragged, and the strides between them.

use super::path::PixelRange;
use crate::results::format::number;
use crate::results::table::TextTable;
use mechanics::analysis::{ExcludedStride, Stride};
use mechanics::gait::{EventKind, EventRule, GaitEvent};
use mechanics::space::Side;

/// A phase of a leg.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LegPhase {
    /// On the ground: a filled bar.
    Contact,
    /// Off the ground: an open bar.
    Swing,
}

/// A phase as a bar along time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PhaseSpan {
    /// The phase.
    pub phase: LegPhase,
    /// Its start.
    pub start_s: f64,
    /// Its end.
    pub end_s: f64,
    /// Left end.
    pub from_px: f64,
    /// Right end.
    pub to_px: f64,
}

/// An event as a tick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EventTick {
    /// The event.
    pub event: GaitEvent,
    /// Its place along x.
    pub x_px: f64,
    /// From one SD before to one SD after.
    pub sd: PixelRange,
    /// Whether it can be moved: a mirrored one follows the near side.
    pub is_movable: bool,
}

/// One leg's row.
#[derive(Clone, Debug, PartialEq)]
pub struct Leg {
    /// The leg.
    pub side: Side,
    /// Whether its events are those of the other leg, half a stride later.
    pub is_mirrored: bool,
    /// In order of time.
    pub spans: Vec<PhaseSpan>,
    /// In order of time.
    pub ticks: Vec<EventTick>,
}

/// A stride as a mark below the legs.
#[derive(Clone, Debug, PartialEq)]
pub struct StrideMark {
    /// The leg, if the stride was used.
    pub side: Option<Side>,
    /// Left end.
    pub from_px: f64,
    /// Right end.
    pub to_px: f64,
    /// Why it was left out; none if it was used.
    pub left_out: Option<String>,
}

/// The whole strip.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Near leg first; none without events.
    pub legs: Vec<Leg>,
    /// In order of time.
    pub strides: Vec<StrideMark>,
    /// First time shown.
    pub start_s: f64,
    /// Last time shown.
    pub end_s: f64,
    /// Width.
    pub width_px: f64,
    /// The events as text.
    pub table: TextTable,
}

impl Strip {
    /// The place of a time.
    #[must_use]
    pub fn at_px(&self, time_s: f64) -> f64 {
        let part = (time_s - self.start_s) / (self.end_s - self.start_s);
        if part.is_finite() { part * self.width_px } else { 0.0 }
    }

    /// The time at a place, within the clip.
    #[must_use]
    pub fn at_s(&self, x_px: f64) -> f64 {
        let part = x_px / self.width_px;
        let part = if part.is_finite() { part.clamp(0.0, 1.0) } else { 0.0 };
        self.start_s + part * (self.end_s - self.start_s)
    }
}

/// The strip of a clip whose frames have these times.
#[must_use]
pub fn strip(
    times_s: &[f64],
    events: &[GaitEvent],
    strides: &[Stride],
    excluded: &[ExcludedStride],
    width_px: f64,
) -> Strip {
    let mut strip = Strip {
        legs: Vec::new(),
        strides: Vec::new(),
        start_s: times_s.first().copied().unwrap_or(0.0),
        end_s: times_s.last().copied().unwrap_or(0.0),
        width_px,
        table: table(events),
    };
    strip.legs = [Side::Near, Side::Far]
        .into_iter()
        .map(|side| leg(&strip, side, events))
        .filter(|leg| !leg.ticks.is_empty())
        .collect();
    strip.strides = marks(&strip, strides, excluded);
    strip
}

fn leg(strip: &Strip, side: Side, events: &[GaitEvent]) -> Leg {
    let mut own: Vec<GaitEvent> =
        events.iter().copied().filter(|e| e.side == side && e.time_s.is_finite()).collect();
    own.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    let ticks = own.iter().map(|event| {
        let sd_s = if event.sd_s.is_finite() { event.sd_s.abs() } else { 0.0 };
        EventTick {
            event: *event,
            x_px: strip.at_px(event.time_s),
            sd: PixelRange {
                from_px: strip.at_px(event.time_s - sd_s),
                to_px: strip.at_px(event.time_s + sd_s),
            },
            is_movable: event.rule != EventRule::Mirrored,
        }
    });
    Leg {
        side,
        is_mirrored: !own.is_empty() && own.iter().all(|e| e.rule == EventRule::Mirrored),
        ticks: ticks.collect(),
        spans: spans(strip, &own),
    }
}

/// A bar from each event to the next of the other kind; two of one kind in succession leave a gap.
fn spans(strip: &Strip, own: &[GaitEvent]) -> Vec<PhaseSpan> {
    let pairs = own.iter().zip(own.iter().skip(1));
    let found = pairs.filter(|(a, b)| a.kind != b.kind).map(|(a, b)| PhaseSpan {
        phase: match a.kind {
            EventKind::Contact => LegPhase::Contact,
            EventKind::ToeOff => LegPhase::Swing,
        },
        start_s: a.time_s,
        end_s: b.time_s,
        from_px: strip.at_px(a.time_s),
        to_px: strip.at_px(b.time_s),
    });
    found.collect()
}

fn marks(strip: &Strip, strides: &[Stride], excluded: &[ExcludedStride]) -> Vec<StrideMark> {
    let mut found: Vec<StrideMark> = strides
        .iter()
        .map(|s| StrideMark {
            side: Some(s.side),
            from_px: strip.at_px(s.start_s),
            to_px: strip.at_px(s.end_s),
            left_out: None,
        })
        .collect();
    found.extend(excluded.iter().map(|l| StrideMark {
        side: None,
        from_px: strip.at_px(l.start_s),
        to_px: strip.at_px(l.end_s),
        left_out: Some(l.reason.sentence.clone()),
    }));
    found.sort_by(|a, b| a.from_px.total_cmp(&b.from_px));
    found
}

fn table(events: &[GaitEvent]) -> TextTable {
    let rows = events.iter().map(|e| {
        let foot = if e.side == Side::Near { "near" } else { "far" };
        let kind = if e.kind == EventKind::Contact { "contact" } else { "toe-off" };
        let (time, sd) = (number(e.time_s, 3), number(1000.0 * e.sd_s, 0));
        vec![foot.into(), kind.into(), time, sd, rule_label(e.rule).into()]
    });
    TextTable {
        caption: "Contacts and toe-offs".into(),
        headings: ["foot", "event", "time, s", "SD, ms", "found by"].map(str::to_owned).into(),
        rows: rows.collect(),
    }
}

fn rule_label(rule: EventRule) -> &'static str {
    match rule {
        EventRule::VerticalAccelerationPeak => "upward acceleration of heel or toe",
        EventRule::HeelFurthestAhead => "heel furthest ahead of the hip",
        EventRule::KneeExtensionPeak => "knee straightest",
        EventRule::Mirrored => "near foot, half a stride away",
        EventRule::Placed => "placed by hand",
    }
}
