//! The sentences that the page composes: one file a matter, one function a sentence, its parts as arguments.
//!
//! Components only place them, so that a catalogue in another language can take the place of this folder.

pub mod browser;
pub mod clip;
pub mod document;
pub mod field;
pub mod filming;
pub mod jobs;
pub mod landmark;
pub mod media;
pub mod preview;
pub mod results;
pub mod scale;
pub mod session;
pub mod stage;
pub mod step;
pub mod storage;
pub mod strides;
pub mod tracking;
