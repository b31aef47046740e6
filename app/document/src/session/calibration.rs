//! The calibration of a clip, as a person entered it: scale, vertical, running direction, capture rate.

use mechanics::space::{Direction, Pixel};
use serde::{Deserialize, Serialize};

/// From pixels to metres and from timestamps to seconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ClipCalibration {
    /// Two points and the distance between them.
    pub scale: Option<Scale>,
    /// A line of known direction; none means the image's own vertical.
    pub vertical: Option<Vertical>,
    /// Running direction; none until entered.
    pub direction: Option<Direction>,
    /// Capture rate, if the file is slow motion.
    pub filmed_rate_hz: Option<f64>,
}

/// Two points a known distance apart.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Scale {
    /// One end.
    pub from: Pixel,
    /// The other end.
    pub to: Pixel,
    /// Distance between the ends.
    pub length_m: f64,
    /// Frame in which the ends were marked; it matters if the camera moves.
    #[serde(default)]
    pub frame: u32,
}

impl Scale {
    /// Distance between the ends in the image.
    #[must_use]
    pub fn length_px(&self) -> f64 {
        (self.to.x_px - self.from.x_px).hypot(self.to.y_px - self.from.y_px)
    }
}

/// A line of known direction.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Vertical {
    /// What the line is.
    pub kind: VerticalKind,
    /// One end.
    pub from: Pixel,
    /// The other end.
    pub to: Pixel,
    /// Frame in which the line was marked; it matters if the camera moves.
    #[serde(default)]
    pub frame: u32,
}

impl Vertical {
    /// Length of the line in the image.
    #[must_use]
    pub fn length_px(&self) -> f64 {
        (self.to.x_px - self.from.x_px).hypot(self.to.y_px - self.from.y_px)
    }
}

/// What a line of known direction is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum VerticalKind {
    /// A plumb line: vertical.
    Plumb,
    /// The ground or the belt: level.
    Ground,
}
