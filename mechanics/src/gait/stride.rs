//! Strides: contact to next contact of one foot, with the toe-off between.

use super::{EventKind, GaitEvent};
use crate::Note;
use crate::space::Side;

/// One stride that was used: contact to next contact of the same foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stride {
    /// Whose.
    pub side: Side,
    /// Its first contact.
    pub start_s: f64,
    /// The toe-off between.
    pub toe_off_s: f64,
    /// Its last contact.
    pub end_s: f64,
}

impl Stride {
    /// Contact to next contact.
    #[must_use]
    pub fn time_s(&self) -> f64 {
        self.end_s - self.start_s
    }

    /// Contact to toe-off.
    #[must_use]
    pub fn contact_s(&self) -> f64 {
        self.toe_off_s - self.start_s
    }
}

/// A stride that was not used, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
    /// Its first contact.
    pub start_s: f64,
    /// Its last contact.
    pub end_s: f64,
    /// Why.
    pub reason: Note,
}

/// Chosen: strides of running people take 0.5 to 0.9 s; shorter or longer ones are missed or false events.
const SHORTEST_S: f64 = 0.35;
const LONGEST_S: f64 = 1.5;

/// The strides of one foot between its events, which are in time order, and those that cannot be used.
#[must_use]
pub fn strides(events: &[GaitEvent], side: Side) -> (Vec<Stride>, Vec<LeftOut>) {
    let times_s = |kind: EventKind| -> Vec<f64> {
        events.iter().filter(|e| e.side == side && e.kind == kind).map(|e| e.time_s).collect()
    };
    let (contacts_s, toe_offs_s) = (times_s(EventKind::Contact), times_s(EventKind::ToeOff));
    let mut used = Vec::new();
    let mut left_out = Vec::new();
    for (start_s, end_s) in contacts_s.iter().copied().zip(contacts_s.iter().skip(1).copied()) {
        let between: Vec<f64> =
            toe_offs_s.iter().copied().filter(|t| *t > start_s && *t < end_s).collect();
        match (between.as_slice(), end_s - start_s) {
            ([toe_off_s], SHORTEST_S..=LONGEST_S) => {
                used.push(Stride { side, start_s, toe_off_s: *toe_off_s, end_s });
            }
            (toe_offs, time_s) => {
                left_out.push(LeftOut { start_s, end_s, reason: reason(toe_offs.len(), time_s) });
            }
        }
    }
    (used, left_out)
}

fn reason(toe_offs: usize, time_s: f64) -> Note {
    let (key, sentence) = if !(SHORTEST_S..=LONGEST_S).contains(&time_s) {
        let what = format!(
            "Its two contacts are {time_s:.2} s apart, which is no stride of a runner: check the events \
             here, and the filmed rate if all strides are so."
        );
        ("stride_time", what)
    } else if toe_offs == 0 {
        (
            "toe_off_missing",
            "No toe-off was found between its contacts: add one by hand.".to_owned(),
        )
    } else {
        let what =
            format!("There are {toe_offs} toe-offs between its contacts: remove all but one.");
        ("toe_off_double", what)
    };
    Note { key: key.to_owned(), sentence }
}
