//! When the feet meet and leave the ground, and the strides between.

mod event;

pub use event::{EventEdit, EventKind, EventRule, GaitEvent};
