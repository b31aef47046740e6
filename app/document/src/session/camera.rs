//! Camera motion through a clip: it maps every position to the frame of the ground.

use super::calibration::{ClipCalibration, Scale, Vertical};
use super::invalid::ColumnError;
use mechanics::space::Pixel;
use serde::{Deserialize, Serialize};

/// Maps a position in the first image to that of the same object in another: `(a x - b y + x0, b x + a y + y0)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CameraPose {
    /// a: scale times the cosine of the rotation.
    pub cosine_ratio: f64,
    /// b: scale times the sine of the rotation.
    pub sine_ratio: f64,
    /// x0: shift of the first pixel to the right.
    pub x_px: f64,
    /// y0: shift of the first pixel downwards.
    pub y_px: f64,
}

/// The poses of a camera that moved, one a frame; the first is [`CameraPose::REST`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(into = "Columns", try_from = "Columns")]
pub struct CameraPath {
    /// One pose a frame, in the upright image.
    pub poses: Vec<CameraPose>,
    /// Root mean square residual of the background: the quality of the path.
    pub residual_px: f64,
}

impl CameraPose {
    /// No motion.
    pub const REST: Self = Self { cosine_ratio: 1.0, sine_ratio: 0.0, x_px: 0.0, y_px: 0.0 };

    /// A pose, rounded as it is saved: within a hundredth of a pixel at 4000 px from the first pixel.
    #[must_use]
    pub fn new(cosine_ratio: f64, sine_ratio: f64, x_px: f64, y_px: f64) -> Self {
        let to = |v: f64, parts: f64| (v * parts).round() / parts;
        Self {
            cosine_ratio: to(cosine_ratio, 1e7),
            sine_ratio: to(sine_ratio, 1e7),
            x_px: to(x_px, 1e3),
            y_px: to(y_px, 1e3),
        }
    }

    /// The position in this image of a position in the first image.
    #[must_use]
    fn ground_to_picture(&self, p: Pixel) -> Pixel {
        let (a, b) = (self.cosine_ratio, self.sine_ratio);
        Pixel {
            x_px: a * p.x_px - b * p.y_px + self.x_px,
            y_px: b * p.x_px + a * p.y_px + self.y_px,
        }
    }

    /// The position in the first image, the frame of the ground, of a position in this image.
    #[must_use]
    pub fn to_ground(&self, p: Pixel) -> Pixel {
        let (a, b) = (self.cosine_ratio, self.sine_ratio);
        let square = a * a + b * b;
        let (x, y) = (p.x_px - self.x_px, p.y_px - self.y_px);
        Pixel { x_px: (a * x + b * y) / square, y_px: (a * y - b * x) / square }
    }

    /// Whether the pose can be inverted. Chosen: no camera shrinks or enlarges its image more than ten times, or
    /// moves it by a million pixels.
    pub(super) fn is_valid(&self) -> bool {
        let square = self.cosine_ratio.powi(2) + self.sine_ratio.powi(2);
        (0.01..=100.0).contains(&square) && self.x_px.abs() <= 1e6 && self.y_px.abs() <= 1e6
    }
}

impl CameraPath {
    /// The pose in a frame; at rest outside the clip.
    #[must_use]
    pub fn pose(&self, frame: u32) -> CameraPose {
        self.poses.get(frame as usize).copied().unwrap_or(CameraPose::REST)
    }

    /// The position in frame `to` of what is at `at` in frame `from`.
    #[must_use]
    pub fn carried(&self, at: Pixel, from: u32, to: u32) -> Pixel {
        self.pose(to).ground_to_picture(self.pose(from).to_ground(at))
    }
}

impl ClipCalibration {
    /// The same lines as they lie in this frame; as they were drawn if no camera motion is known.
    #[must_use]
    pub fn seen_in(&self, frame: u32, camera: Option<&CameraPath>) -> Self {
        let Some(camera) = camera else { return *self };
        let scale = self.scale.map(|s| Scale {
            from: camera.carried(s.from, s.frame, frame),
            to: camera.carried(s.to, s.frame, frame),
            frame,
            ..s
        });
        let vertical = self.vertical.map(|v| Vertical {
            from: camera.carried(v.from, v.frame, frame),
            to: camera.carried(v.to, v.frame, frame),
            frame,
            ..v
        });
        Self { scale, vertical, ..*self }
    }
}

/// A path as it is stored in a file: one column a coefficient.
#[derive(Clone, Serialize, Deserialize)]
struct Columns {
    cosine_ratio: Vec<f64>,
    sine_ratio: Vec<f64>,
    x_px: Vec<f64>,
    y_px: Vec<f64>,
    residual_px: f64,
}

impl From<CameraPath> for Columns {
    fn from(path: CameraPath) -> Self {
        let column = |of: fn(&CameraPose) -> f64| path.poses.iter().map(of).collect();
        Self {
            cosine_ratio: column(|p| p.cosine_ratio),
            sine_ratio: column(|p| p.sine_ratio),
            x_px: column(|p| p.x_px),
            y_px: column(|p| p.y_px),
            residual_px: path.residual_px,
        }
    }
}

impl TryFrom<Columns> for CameraPath {
    type Error = ColumnError;

    fn try_from(columns: Columns) -> Result<Self, ColumnError> {
        let count = columns.cosine_ratio.len();
        if [&columns.sine_ratio, &columns.x_px, &columns.y_px].iter().any(|c| c.len() != count) {
            return Err(ColumnError::CameraLengths);
        }
        let rotations = columns.cosine_ratio.into_iter().zip(columns.sine_ratio);
        let poses = rotations.zip(columns.x_px.into_iter().zip(columns.y_px)).map(
            |((cosine_ratio, sine_ratio), (x_px, y_px))| CameraPose {
                cosine_ratio,
                sine_ratio,
                x_px,
                y_px,
            },
        );
        Ok(Self { poses: poses.collect(), residual_px: columns.residual_px })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pose_inverts_itself_and_a_line_moves_with_the_image() {
        let panned = CameraPose::new(1.02, 0.03, -140.0, 6.0);
        let path = CameraPath { poses: vec![CameraPose::REST, panned], residual_px: 0.2 };
        let at = Pixel { x_px: 612.0, y_px: 333.0 };
        let back = panned.to_ground(panned.ground_to_picture(at));
        assert!((back.x_px - at.x_px).hypot(back.y_px - at.y_px) < 1e-9);
        let to = Pixel { x_px: 612.0, y_px: 633.0 };
        let scale = Some(Scale { from: at, to, length_m: 1.0, frame: 0 });
        let drawn = ClipCalibration { scale, ..ClipCalibration::default() };
        let seen = drawn.seen_in(1, Some(&path)).scale.unwrap();
        assert_eq!((seen.frame, seen.from), (1, panned.ground_to_picture(at)));
        let length_px = (seen.to.x_px - seen.from.x_px).hypot(seen.to.y_px - seen.from.y_px);
        assert!((length_px - 300.0 * 1.02_f64.hypot(0.03)).abs() < 1e-9);
        assert_eq!(drawn.seen_in(1, None), drawn);
    }
}
