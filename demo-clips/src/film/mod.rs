//! How a scene becomes a film: the camera's path, what stands behind the runner, light, shutter and sensor.

mod backdrop;
mod exposure;
mod light;
mod path;

pub use backdrop::{Backdrop, Panorama};
pub use exposure::{Exposure, SHUTTER_S};
pub use light::Light;
pub use path::{CameraPath, Handling};
