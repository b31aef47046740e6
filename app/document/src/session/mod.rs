//! The document: all that is saved, and the one way to change it. Pure.

mod camera;
mod command;
pub mod example;
pub mod file;
mod history;
mod model;
pub mod persistence;
mod swap;
mod track;
mod validation;

pub use camera::{CameraPath, CameraPose};
pub use command::{Command, CommandError, TrialCommand, apply};
pub use history::History;
pub use model::{
    Calibration, ClipInfo, ClipRef, Conditions, Cutoff, Options, Runner, Scale, Session, Trial,
    TrialId, Unknown, Vertical, VerticalKind,
};
pub use persistence::{Autosave, ClipMatch, SaveState, match_clip};
pub use track::{Certainty, MarkerMode, Track, TrackSample};
pub use validation::Unsound;
