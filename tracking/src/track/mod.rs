//! Markers followed from frame to frame, and two passes made one.

mod blend;
mod body;
mod certainty;
mod doubt;
mod follower;
mod limb;
mod look;
mod marker;
mod propose;
mod sample;
mod smear;

pub use crate::image::Pixel;
pub use blend::blend;
pub use certainty::Signs;
pub use follower::{Follower, MarkerStart, Mode};
pub use limb::{Limb, Part};
pub use propose::{propose_mode, snap_to_sticker};
pub use sample::{Sample, State};
pub use smear::{Moments, Smear};
