//! Requests that the worker has not answered yet, and what to do with the answers.

use crate::browser::frame_image::FrameImage;
use crate::browser::player::FramePlace;
use document::session::{ClipRef, TrialId};
use jobs::protocol::JobError;
use mechanics::body::Landmark;
use std::rc::Rc;

/// Displays each frame image that arrives.
pub(super) type FrameSink = Rc<dyn Fn(FramePlace, &Rc<FrameImage>)>;
/// Called with the clip that was opened, or with the error.
pub(super) type OnOpened = Box<dyn FnOnce(Result<ClipRef, JobError>)>;
/// Called with the frame image that was requested.
pub(super) type OnStillFrame = Box<dyn FnOnce(&FrameImage)>;

/// What the worker could not do, and with which clip.
#[derive(Clone, Debug, PartialEq)]
pub struct JobFailure {
    /// File name of the clip, if it is known.
    pub clip: Option<String>,
    /// The error.
    pub error: JobError,
}

/// A request that is not answered yet.
pub(super) enum Pending {
    Open(OnOpened),
    ShowFrame(FramePlace),
    /// If it fails, nothing is displayed.
    StillFrame(TrialId, OnStillFrame),
    Preview(TrialId),
    Track(PendingTracking),
}

/// A tracking run that has not ended yet.
pub(super) struct PendingTracking {
    pub trial: TrialId,
    pub began_s: f64,
    /// The landmark, if the run tracks only one after a correction.
    pub only: Option<Landmark>,
    /// Called at the end of a run that is not cancelled.
    pub then: Option<Box<dyn FnOnce()>>,
}

impl Pending {
    /// The trial that it is about; none for a clip that is being opened.
    pub fn trial(&self) -> Option<TrialId> {
        match self {
            Pending::Track(tracking) => Some(tracking.trial),
            Pending::ShowFrame(place) => Some(place.trial),
            Pending::StillFrame(trial, _) | Pending::Preview(trial) => Some(*trial),
            Pending::Open(_) => None,
        }
    }
}
