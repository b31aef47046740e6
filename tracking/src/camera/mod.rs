//! How the camera moved, from features of the picture away from the runner.

mod estimate;
mod motion;
mod similarity;

pub use motion::{Camera, Motion};
pub use similarity::Similarity;
