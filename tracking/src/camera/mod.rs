//! How the camera moved, from pieces of picture away from the runner.

mod estimate;
mod motion;
mod similarity;

pub use motion::{Camera, Motion};
pub use similarity::Similarity;
