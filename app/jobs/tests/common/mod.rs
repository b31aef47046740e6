//! What the tests of the jobs share.

use media::{Orientation, Picture};

/// A picture of square pixels.
pub fn picture((width_px, height_px): (u32, u32), orientation: Orientation) -> Picture {
    Picture {
        coded_width_px: width_px,
        coded_height_px: height_px,
        square_width_px: width_px,
        square_height_px: height_px,
        orientation,
    }
}
