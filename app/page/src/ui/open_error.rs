//! Why clips were not opened.

use super::pending::JobFailure;
use crate::browser::BrowserError;
use document::session::{ClipMatch, ClipRef};

/// Why a clip, or the example with its clips, was not opened. `ui/sentences` words it for a person.
#[derive(Clone, Debug, PartialEq)]
pub enum OpenError {
    /// The browser did not give the file.
    Browser(BrowserError),
    /// The worker could not open it.
    Job(JobFailure),
    /// The document refused it.
    Document(document::session::Error),
    /// The file is not the clip of the trial.
    AnotherClip {
        /// How it differs.
        outcome: ClipMatch,
        /// The clip of the trial.
        wanted: Box<ClipRef>,
        /// The clip in the file.
        found: Box<ClipRef>,
    },
}
