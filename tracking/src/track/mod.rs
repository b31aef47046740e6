//! Markers followed from frame to frame, and two passes made one.
//!
//! [`cost`] is the page that says how the tracker decides.

mod anchor;
mod appearance;
mod blend;
mod candidate;
pub mod cost;
mod error_model;
mod gating;
mod limb;
mod marker;
mod mode;
mod motion_blur;
mod observation;
mod occluder;
mod prediction;
mod proposal;
mod sample;
mod skeleton;
mod tracker;

pub use blend::blend;
pub use error_model::Features;
pub use limb::{Limb, Part};
pub use mode::Mode;
pub use motion_blur::{MotionBlur, MotionExtremes, MovingFrame};
pub use proposal::{propose_mode, snap_to_sticker};
pub use sample::{Sample, State};
pub use tracker::{MarkerStart, Tracker};
