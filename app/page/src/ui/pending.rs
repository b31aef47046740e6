//! What is to be done with the answers that the worker still owes.

use crate::browser::frame_image::Sight;
use crate::browser::player::Place;
use document::session::{ClipRef, TrialId};
use mechanics::body::Landmark;
use std::rc::Rc;

/// Called with each picture that arrives, to be drawn.
pub(super) type Sink = Rc<dyn Fn(Place, &Rc<Sight>)>;

/// Told of the clip that was opened, or why it was not.
pub(super) type Opened = Box<dyn FnOnce(Result<ClipRef, String>)>;
/// Called with the picture that was asked for.
pub(super) type Glimpsed = Box<dyn FnOnce(&Sight)>;

/// A question under way.
pub(super) enum Pending {
    Open(Opened),
    Show(Place),
    /// What is done with the picture; one that does not come is not missed.
    Glimpse(TrialId, Glimpsed),
    /// A following that is tried out.
    TryOut(TrialId),
    /// `only` is the landmark of a following of one alone, after a correction.
    Follow {
        trial: TrialId,
        began_s: f64,
        only: Option<Landmark>,
        then: Option<Box<dyn FnOnce()>>,
    },
}

impl Pending {
    /// The trial it is about, where it has one already.
    pub fn trial(&self) -> Option<TrialId> {
        match self {
            Pending::Follow { trial, .. } => Some(*trial),
            Pending::Show((trial, _)) | Pending::Glimpse(trial, _) | Pending::TryOut(trial) => {
                Some(*trial)
            }
            Pending::Open(_) => None,
        }
    }
}
