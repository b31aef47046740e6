//! Points in the image and in the plane of motion, sides, directions and surfaces.

mod point;
mod side;
mod surface;

pub use point::{Pixel, Point};
pub use side::{Direction, Side};
pub use surface::Surface;
