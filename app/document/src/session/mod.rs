//! The document: all that is saved, and the one way to change it. Pure.

mod apply;
mod calibration;
mod camera;
mod clip;
mod command;
mod error;
pub mod example;
pub mod file;
mod history;
mod invalid;
mod model;
pub mod persistence;
mod swap;
mod times;
mod track;
mod trial;
mod validation;

pub use apply::apply;
pub use calibration::{ClipCalibration, Scale, Vertical, VerticalKind};
pub use camera::{CameraPath, CameraPose};
pub use clip::{ClipInfo, ClipRef};
pub use command::{Command, TrialCommand};
pub use error::{Error, FileFault};
pub use history::History;
pub use invalid::{
    Invalid, MAX_EVENT_EDITS, MAX_FRAMES, MAX_FRAMES_IN_ALL, MAX_SAMPLES, MAX_TRIALS, SessionField,
};
pub use model::{CutoffChoice, Options, Runner, Session};
pub use persistence::{Autosave, ClipMatch, SaveState, match_clip};
pub use times::frame_times_s;
pub use track::{Certainty, MarkerMode, Track, TrackSample};
pub use trial::{Conditions, Trial, TrialId, Unknown};
