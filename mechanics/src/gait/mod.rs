//! When the feet meet and leave the ground, and the strides between.

mod contacts;
mod detect;
mod edits;
mod event;
mod mirror;
mod series;
mod stride;
mod toe_offs;

pub use detect::{RawLeg, detect_events};
pub use edits::apply_edits;
pub use event::{EventEdit, EventKind, EventRule, GaitEvent};
pub use mirror::mirrored_events;
pub use stride::{ExcludedStride, Stride, find_strides};
