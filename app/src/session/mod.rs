//! The document: all that is saved, and the one way to change it. Pure.

mod command;
mod history;
mod model;
mod track;

pub use command::{Command, CommandError, TrialCommand, apply};
pub use history::History;
pub use model::{
    Calibration, ClipInfo, ClipRef, Conditions, Cutoff, Options, Runner, Scale, Session, Trial,
    TrialId, Vertical, VerticalKind,
};
pub use track::{Certainty, MarkerMode, Track, TrackSample};
