//! A trial: one clip of one way of running, and all that is known about it.

use super::calibration::ClipCalibration;
use super::camera::CameraPath;
use super::clip::ClipRef;
use super::track::Track;
use mechanics::body::{Landmark, MarkerSet};
use mechanics::gait::EventEdit;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Members of a session file that this version does not know: preserved and written again, never read.
pub type Unknown = serde_json::Map<String, serde_json::Value>;

/// Identifies a trial within its session; never reused after the trial is removed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct TrialId(pub u32);

/// One clip of one way of running.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Trial {
    /// Identifier within the session.
    pub id: TrialId,
    /// What a person calls this way of running.
    pub name: String,
    /// The clip.
    pub clip: ClipRef,
    /// From pixels to metres and from timestamps to seconds.
    pub calibration: ClipCalibration,
    /// How it was run.
    pub conditions: Conditions,
    /// Landmarks to be marked.
    pub marker_set: MarkerSet,
    /// One track a landmark.
    pub tracks: BTreeMap<Landmark, Rc<Track>>,
    /// Camera motion, if a tracking run found any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub camera: Option<Rc<CameraPath>>,
    /// Frames that repeat the image of the frame before, if a tracking run found any; ascending.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub repeated: Vec<u32>,
    /// A person's changes to the detected events.
    pub event_edits: Vec<EventEdit>,
    /// Members written by another version.
    #[serde(flatten)]
    pub unknown: Unknown,
}

/// How a trial was run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Conditions {
    /// Speed of the belt or of the runner; none until entered.
    pub speed_m_s: Option<f64>,
    /// On a belt (otherwise over ground).
    pub on_belt: bool,
    /// What the runner was asked to do.
    pub cue: String,
    /// Footwear.
    pub shoes: String,
}

impl Default for Conditions {
    /// A belt, and nothing entered yet.
    fn default() -> Self {
        Self { speed_m_s: None, on_belt: true, cue: String::new(), shoes: String::new() }
    }
}

impl Trial {
    /// Time of each frame on the corrected clock: see [`frame_times_s`](super::frame_times_s).
    #[must_use]
    pub fn times_s(&self) -> Vec<f64> {
        super::times::frame_times_s(&self.clip.info, &self.calibration)
    }

    /// Capture rate: as entered, otherwise that of the timestamps.
    #[must_use]
    pub fn rate_hz(&self) -> Option<f64> {
        self.calibration.filmed_rate_hz.or_else(|| self.clip.info.stamped_rate_hz())
    }

    /// The first landmark of the marker set that has no keyframe yet.
    #[must_use]
    pub fn next_unplaced(&self) -> Option<Landmark> {
        self.marker_set
            .landmarks()
            .iter()
            .copied()
            .find(|l| self.tracks.get(l).is_none_or(|t| t.keyframes.is_empty()))
    }
}
