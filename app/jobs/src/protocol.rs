//! The words between the page and the worker, each sent as JSON; files and pictures travel beside them.

use super::{Correction, Tryout};
use document::session::{CameraPath, ClipInfo, MarkerMode, TrackSample, TrialId};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use media::Picture;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Names one question, so that its answers can be told from those of others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct JobId(pub u64);

/// One question to the worker.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Question {
    /// Its name.
    pub id: JobId,
    /// About which clip.
    pub clip: TrialId,
    /// What is asked.
    pub job: Job,
}

/// What the worker can do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Job {
    /// Read the file sent beside this question, and know it as this clip from now on.
    Open,
    /// Send the picture of this frame.
    Show {
        /// In display order.
        frame: u32,
    },
    /// Send the picture of this frame as for `Show`, beside what is shown and without disturbing it.
    Glimpse {
        /// In display order.
        frame: u32,
    },
    /// Follow markers.
    Follow(FollowPlan),
    /// Try a following out on the one marker of this plan.
    TryOut(FollowPlan),
    /// Give up this job; what is done is answered with `Followed`.
    Cancel {
        /// Which.
        id: JobId,
    },
    /// Forget this clip.
    Close,
}

/// What is to be followed: every frame from `first` to `last` (both included), between the keyframes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FollowPlan {
    /// First frame.
    pub first: u32,
    /// Last frame.
    pub last: u32,
    /// Which markers.
    pub markers: Vec<FollowMarker>,
    /// After a mark was put right: which, and what was known of its marker, the only one of the plan.
    pub correction: Option<Correction>,
}

/// A marker to follow.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FollowMarker {
    /// Which.
    pub landmark: Landmark,
    /// What it is.
    pub mode: MarkerMode,
    /// Where a person put it, in order of time; those outside the range are ignored.
    pub keyframes: Vec<(u32, Pixel)>,
}

/// What the worker answers; every answer names its job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Answer {
    /// The worker is there.
    Ready,
    /// The clip is known.
    Opened {
        /// What it says of itself.
        info: ClipInfo,
        /// File name.
        name: String,
        /// Size.
        size_bytes: u64,
        /// See `ClipRef`.
        fingerprint: String,
    },
    /// The picture of this frame travels beside this answer (its colours, or a `VideoFrame`).
    Shown {
        /// In display order.
        frame: u32,
    },
    /// The following goes on; the picture of the frame may travel beside this answer, as with `Shown`.
    Progress {
        /// Frames done, over all passes.
        done: u32,
        /// Frames to do, over all passes.
        total: u32,
        /// The frame just done.
        frame: u32,
        /// Where the markers are in it.
        latest: BTreeMap<Landmark, Option<TrackSample>>,
    },
    /// The following came to its end or was cancelled: what is done. `None` is a frame where it is lost.
    Followed {
        /// First frame of the stretches.
        first: u32,
        /// One sample a frame, as far as it was reached.
        stretches: BTreeMap<Landmark, Vec<Option<TrackSample>>>,
        /// What the camera did, if it was looked for and moved.
        camera: Option<Rc<CameraPath>>,
        /// The frames whose picture is that of the one before, if every frame was looked at.
        repeated: Option<Vec<u32>>,
        /// Whether it was cancelled.
        cancelled: bool,
    },
    /// The trying out came to its end; nothing where it was cancelled.
    TriedOut(Option<Tryout>),
    /// It could not be done: what is wrong, then what to do, in a sentence.
    Failed {
        /// The sentence.
        reason: String,
    },
}

/// What is said of a picture that travels beside an answer.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Told {
    /// How it is to be shown.
    pub picture: Picture,
    /// Columns and rows that were sent.
    pub size_px: (u32, u32),
}
