//! When the feet meet and leave the ground, and the strides between.

mod detect;
mod edits;
mod event;
mod stride;

pub use detect::{LegRuns, detect};
pub use edits::{apply as apply_edits, mirrored};
pub use event::{EventEdit, EventKind, EventRule, GaitEvent};
pub use stride::{LeftOut, Stride, strides};
