//! Requests of the page to the worker.

use crate::tracking_plan::TrackingPlan;
use serde::{Deserialize, Serialize};

/// Identifies a request; a response repeats the id of the request that it answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct JobId(pub u64);

impl JobId {
    /// The id of messages that belong to no request: the worker is ready, a buffer comes back.
    pub const NONE: Self = Self(0);
}

/// What the page asks. The envelope names the clip.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Request {
    /// Open the attached file as this clip. Answered by `Opened`.
    Open,
    /// Send the image of this frame; a newer `ShowFrame` replaces one that has not begun. Answered by `Frame`.
    ShowFrame {
        /// In display order.
        frame: u32,
    },
    /// Send the image of this frame without disturbing `ShowFrame`. Answered by `Frame`.
    StillFrame {
        /// In display order.
        frame: u32,
    },
    /// Track markers. Answered by `Progress` and at the end by `Tracked`.
    Track(TrackingPlan),
    /// Track the only marker of this plan for a short while and measure its blur. Answered by `Previewed`.
    Preview(TrackingPlan),
    /// Stop this `Track` or `Preview`; it answers with what it has.
    Cancel {
        /// The request to stop.
        id: JobId,
    },
    /// Close this clip.
    Close,
    /// The attached buffer may be used again.
    ReturnBuffer,
}
