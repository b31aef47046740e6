//! Responses of the worker to the page.

use super::job_error::JobError;
use crate::preview::Preview;
use crate::tracks::Tracks;
use document::session::{CameraPath, ClipRef, TrackSample};
use mechanics::body::Landmark;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::rc::Rc;

/// What the worker answers. The envelope names the request.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Response {
    /// The worker listens.
    Ready,
    /// The clip is open.
    Opened(ClipRef),
    /// The image of this frame is attached.
    Frame {
        /// In display order.
        frame: u32,
    },
    /// Tracking continues; the image of the frame may be attached.
    Progress(Progress),
    /// Tracking ended or was cancelled.
    Tracked(TrackingResult),
    /// The preview ended; none if it was cancelled.
    Previewed(Option<Preview>),
    /// The request failed.
    Failed(JobError),
    /// The worker panicked and answers no more.
    Panicked {
        /// Place and message of the panic.
        message: String,
    },
}

/// How far tracking has come.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Progress {
    /// Frames done, over all passes.
    pub done: u32,
    /// Frames to do, over all passes.
    pub total: u32,
    /// The frame done last.
    pub frame: u32,
    /// The markers in that frame; none for a lost one.
    pub latest: BTreeMap<Landmark, Option<TrackSample>>,
}

/// What tracking found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TrackingResult {
    /// The tracks.
    pub tracks: Tracks,
    /// The path of the camera, if it moved and the run covered the whole clip.
    pub camera: Option<Rc<CameraPath>>,
    /// The frames that repeat the frame before, if the run covered every frame.
    pub duplicates: Option<Vec<u32>>,
    /// Whether it was cancelled.
    pub cancelled: bool,
}
