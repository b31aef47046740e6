//! The two spaces of the job, the picture and the plane of motion, and the way between them.

mod calibration;
mod point;
mod side;
mod surface;

pub use calibration::{Calibration, ScaleBar, Upright};
pub use point::{Pixel, Point};
pub use side::{Direction, Side};
pub use surface::Surface;
