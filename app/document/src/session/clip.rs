//! The clip of a trial: how its file is recognised, and what the file states about itself.

use serde::{Deserialize, Serialize};
use std::rc::Rc;

/// A file on the runner's device and how to recognise it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ClipRef {
    /// File name.
    pub name: String,
    /// File size.
    pub size_bytes: u64,
    /// SHA-256, in hexadecimal, of the size and the first and last 64 KiB.
    pub fingerprint: String,
    /// What the file states about itself.
    pub info: Rc<ClipInfo>,
}

/// What a clip states about itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ClipInfo {
    /// Width of the upright image.
    pub width_px: u32,
    /// Height of the upright image.
    pub height_px: u32,
    /// Codec in plain words and its string, such as `H.264 (avc1.64001f)`.
    pub codec: String,
    /// Quarter turns clockwise from the coded to the upright image.
    pub rotation_quarter_turns: u8,
    /// Presentation time of each frame in display order, as recorded in the file.
    pub stamps_s: Vec<f64>,
    /// Capture rate recorded in the file, if any.
    pub filmed_rate_hz: Option<f64>,
}

/// Ratio above which the recorded capture rate differs from that of the timestamps. Chosen: many phones write the
/// camera's rate into every clip, and keep it within a few per cent.
const OTHER_RATE_RATIO: f64 = 1.2;

impl ClipInfo {
    /// Number of frames.
    #[must_use]
    pub fn frame_count(&self) -> u32 {
        u32::try_from(self.stamps_s.len()).unwrap_or(u32::MAX)
    }

    /// Frame rate of the timestamps, 1 / median step; none with fewer than two frames.
    #[must_use]
    pub fn stamped_rate_hz(&self) -> Option<f64> {
        let mut steps: Vec<f64> =
            self.stamps_s.windows(2).filter_map(|w| Some(w.get(1)? - w.first()?)).collect();
        steps.sort_by(f64::total_cmp);
        steps.get(steps.len() / 2).filter(|s| **s > 0.0).map(|s| 1.0 / s)
    }

    /// The recorded capture rate if it differs from the rate of the timestamps, as in slow motion.
    #[must_use]
    pub fn other_rate_hz(&self) -> Option<f64> {
        let stamped_hz = self.stamped_rate_hz()?;
        let differs = |hz: &f64| (hz / stamped_hz).max(stamped_hz / hz) > OTHER_RATE_RATIO;
        self.filmed_rate_hz.filter(differs)
    }
}
