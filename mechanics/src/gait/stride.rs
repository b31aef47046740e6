//! Strides: contact to next contact of one foot, with the toe-off between.

use super::event::{EventKind, GaitEvent};
use crate::note::Note;
use crate::space::Side;

/// One stride: contact to next contact of the same foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stride {
    /// Side of the foot.
    pub side: Side,
    /// Its first contact.
    pub start_s: f64,
    /// The toe-off between them.
    pub toe_off_s: f64,
    /// Its last contact.
    pub end_s: f64,
}

impl Stride {
    /// Duration: contact to next contact.
    #[must_use]
    pub fn time_s(&self) -> f64 {
        self.end_s - self.start_s
    }

    /// Contact time: contact to toe-off.
    #[must_use]
    pub fn contact_s(&self) -> f64 {
        self.toe_off_s - self.start_s
    }
}

/// A stride that cannot be used, and the reason.
#[derive(Clone, Debug, PartialEq)]
pub struct ExcludedStride {
    /// Its first contact.
    pub start_s: f64,
    /// Its last contact.
    pub end_s: f64,
    /// The reason.
    pub reason: Note,
}

/// Chosen: strides of runners take 0.5 to 0.9 s; much shorter ones come of false events.
const SHORTEST_S: f64 = 0.35;
/// Chosen: as [`SHORTEST_S`]; much longer ones come of missed events.
const LONGEST_S: f64 = 1.5;

/// The strides of one foot from its events in time order, and those that cannot be used.
#[must_use]
pub fn find_strides(events: &[GaitEvent], side: Side) -> (Vec<Stride>, Vec<ExcludedStride>) {
    let times_s = |kind: EventKind| -> Vec<f64> {
        events.iter().filter(|e| e.side == side && e.kind == kind).map(|e| e.time_s).collect()
    };
    let (contacts_s, toe_offs_s) = (times_s(EventKind::Contact), times_s(EventKind::ToeOff));
    let mut usable = Vec::new();
    let mut excluded = Vec::new();
    for (start_s, end_s) in contacts_s.iter().copied().zip(contacts_s.iter().skip(1).copied()) {
        let between: Vec<f64> =
            toe_offs_s.iter().copied().filter(|t| *t > start_s && *t < end_s).collect();
        match (between.as_slice(), end_s - start_s) {
            ([toe_off_s], SHORTEST_S..=LONGEST_S) => {
                usable.push(Stride { side, start_s, toe_off_s: *toe_off_s, end_s });
            }
            (toe_offs, time_s) => {
                let reason = reason(toe_offs.len(), time_s);
                excluded.push(ExcludedStride { start_s, end_s, reason });
            }
        }
    }
    (usable, excluded)
}

fn reason(toe_offs: usize, time_s: f64) -> Note {
    let (key, sentence) = if !(SHORTEST_S..=LONGEST_S).contains(&time_s) {
        let sentence = format!(
            "Its two contacts are {time_s:.2} s apart, which no runner's stride takes: check the events \
             here, and the filmed rate if all strides are like this."
        );
        ("stride_time", sentence)
    } else if toe_offs == 0 {
        (
            "toe_off_missing",
            "No toe-off was found between its contacts: add one by hand.".to_owned(),
        )
    } else {
        let sentence =
            format!("There are {toe_offs} toe-offs between its contacts: remove all but one.");
        ("toe_off_double", sentence)
    };
    Note { key: key.to_owned(), sentence }
}
