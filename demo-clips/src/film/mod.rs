//! From scenes to frames: camera path, background, light, shutter and sensor.

mod background;
mod exposure;
mod light;
mod path;

pub use background::{Background, Panorama};
pub use exposure::{Exposure, SHUTTER_S};
pub use light::Light;
pub use path::{CameraPath, Handling, Similarity};
