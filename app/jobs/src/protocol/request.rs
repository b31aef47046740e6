//! Requests of the page to the worker.

use super::envelope::JobId;
use crate::tracking_plan::TrackingPlan;
use serde::{Deserialize, Serialize};

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
