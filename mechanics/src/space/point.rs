//! A point in the image and a point in the plane of motion.

use serde::{Deserialize, Serialize};

/// A point in the upright image, in pixels: x to the right, y down, pixel centres at integers.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pixel {
    /// Distance to the right of the centre of the first column.
    pub x_px: f64,
    /// Distance below the centre of the first row.
    pub y_px: f64,
}

/// A point in the plane of motion, in metres: x forward (the running direction), y up.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Point {
    /// Forward.
    pub x_m: f64,
    /// Up.
    pub y_m: f64,
}

impl Point {
    /// The point (0, 0).
    pub const ORIGIN: Point = Point { x_m: 0.0, y_m: 0.0 };

    /// `self + (other - self) part`.
    #[must_use]
    pub fn between(self, other: Point, part: f64) -> Point {
        Point {
            x_m: self.x_m + (other.x_m - self.x_m) * part,
            y_m: self.y_m + (other.y_m - self.y_m) * part,
        }
    }

    /// The lesser of each coordinate.
    #[must_use]
    pub fn least(self, other: Point) -> Point {
        Point { x_m: self.x_m.min(other.x_m), y_m: self.y_m.min(other.y_m) }
    }

    /// The greater of each coordinate.
    #[must_use]
    pub fn greatest(self, other: Point) -> Point {
        Point { x_m: self.x_m.max(other.x_m), y_m: self.y_m.max(other.y_m) }
    }
}
