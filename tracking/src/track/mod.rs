//! Markers followed from frame to frame, and two passes made one.

mod follower;
mod sample;

pub use follower::{Follower, Limb, MarkerStart, Mode, blend, propose_mode};
pub use sample::{Pixel, Sample, State};
