//! A place in the picture and a place in the plane of motion.

use serde::{Deserialize, Serialize};

/// A place in the upright picture, in pixels: x to the right, y down, pixel centres at integers.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pixel {
    /// Distance to the right of the centre of the first column.
    pub x_px: f64,
    /// Distance below the centre of the first row.
    pub y_px: f64,
}

/// A place in the plane of motion, in metres: x forward (the direction of running), y up.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Point {
    /// Forward.
    pub x_m: f64,
    /// Up.
    pub y_m: f64,
}
