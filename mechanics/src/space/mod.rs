//! The two spaces of the job, the picture and the plane of motion, and the way between them.

mod point;
mod side;

pub use point::{Pixel, Point};
pub use side::{Direction, Side};
