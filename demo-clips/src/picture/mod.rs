//! How a posture becomes a picture: camera, limbs and clothes, hall, shutter and sensor.

mod camera;
mod canvas;
mod cloth;
mod exposure;
mod figure;
mod hall;
mod head;
mod layer;
mod outline;

pub use camera::{Camera, HEIGHT, WIDTH};
pub use canvas::Canvas;
pub use cloth::Wardrobe;
pub use exposure::{Exposure, SHUTTER_S};
pub use figure::{Figure, Landmark};
pub use hall::{PLUMB_M, SCALE_M, hall};
