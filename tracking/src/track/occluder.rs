//! A limb that may hide what lies behind it.

use crate::image::ImagePoint;

/// Least squared length of a limb as a divisor.
///
/// Chosen: a pixel; a limb that points at the camera is a disc.
const LEAST_LENGTH_PX2: f64 = 1.0;

/// A limb in front: all that is nearer to the line between two places than half its width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Occluder {
    pub from: ImagePoint,
    pub to: ImagePoint,
    pub half_width_px: f64,
}

impl Occluder {
    /// Distance of a place from its edge; negative inside.
    pub fn outside_px(&self, at: ImagePoint) -> f64 {
        let ((dx, dy), (x, y)) = (self.to.minus(self.from), at.minus(self.from));
        let square = (dx * dx + dy * dy).max(LEAST_LENGTH_PX2);
        let share = ((x * dx + y * dy) / square).clamp(0.0, 1.0);
        self.from.moved(share * dx, share * dy).distance_px(at) - self.half_width_px
    }
}
