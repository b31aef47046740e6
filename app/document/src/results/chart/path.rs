//! Pixels of a chart: ranges along an axis, and SVG paths.

use std::fmt::Write;

/// Two places along an axis of a drawing area; they may run either way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PixelRange {
    /// The first place.
    pub from_px: f64,
    /// The last place.
    pub to_px: f64,
}

/// A polygon line through these points, x and y in pixels, to a tenth of a pixel: the `d` of an SVG path.
pub(super) fn path(points_px: impl Iterator<Item = (f64, f64)>) -> String {
    let mut d = String::new();
    for (x_px, y_px) in points_px {
        let letter = if d.is_empty() { 'M' } else { 'L' };
        // Writing to a string cannot fail.
        let _ = write!(d, "{letter}{x_px:.1} {y_px:.1}");
    }
    d
}
