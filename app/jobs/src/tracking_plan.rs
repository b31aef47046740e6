//! What to track.

use document::session::{MarkerMode, TrackSample};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use serde::{Deserialize, Serialize};

/// The markers to track from frame `first` to frame `last`, both included, between their keyframes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TrackingPlan {
    /// First frame.
    pub first: u32,
    /// Last frame.
    pub last: u32,
    /// The markers.
    pub markers: Vec<TrackedMarker>,
    /// After a person corrected a mark: that correction. The plan then has one marker.
    pub correction: Option<Correction>,
}

/// A marker to track.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TrackedMarker {
    /// Its landmark.
    pub landmark: Landmark,
    /// Sticker or skin.
    pub mode: MarkerMode,
    /// The places that a person marked, in order of frames; those outside the plan's frames are ignored.
    pub keyframes: Vec<(u32, Pixel)>,
}

/// A mark that a person corrected on a track that exists already.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Correction {
    /// The frame of the new mark.
    pub frame: u32,
    /// The old track, from the plan's first frame on.
    pub old_track: Vec<Option<TrackSample>>,
}
