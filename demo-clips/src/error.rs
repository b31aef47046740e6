//! Errors of the generator: what is wrong and what to do.

use std::process::ExitStatus;
use thiserror::Error;

/// The options in two lines.
const USAGE: &str = "usage: demo-clips [--seed N] [--rate N] [--no-stickers] [--truth-only] [--out FOLDER]\n       \
     demo-clips varied [the same] [--stickers yes|no] [--camera still|panned|hand-held] \
     [--course belt|crossing] [--seconds S] [--shutter S]";

/// Why the clips could not be generated.
#[derive(Debug, Error)]
pub enum Error {
    /// The command line was not understood.
    #[error("{0}\n{USAGE}")]
    CommandLine(#[from] lexopt::Error),
    /// The value of an option is no number or out of its range.
    #[error("{option} needs a number {allowed}")]
    Range {
        /// The option.
        option: &'static str,
        /// The range, as `from 1 to 2`.
        allowed: String,
    },
    /// The value of an option is not one of its choices.
    #[error("{option} needs {}", choices.join(" or "))]
    Choice {
        /// The option.
        option: &'static str,
        /// The choices.
        choices: Vec<&'static str>,
    },
    /// A file could not be written or a pipe broke.
    #[error("{action}: {source}: check the folder and the space left on the disk")]
    File {
        /// What was being done.
        action: &'static str,
        /// The system's error.
        source: std::io::Error,
    },
    /// The encoder did not start.
    #[error("ffmpeg does not start: {0}: install Debian's ffmpeg package with libx264")]
    NoEncoder(std::io::Error),
    /// The encoder reported failure.
    #[error("ffmpeg ended with {0}: install Debian's ffmpeg package with libx264")]
    Encoder(ExitStatus),
    /// A frame was not rendered.
    #[error("a frame was not rendered: report this as a fault")]
    Frame,
    /// The ground truth could not be written as JSON.
    #[error("the ground truth could not be written: {0}: report this as a fault")]
    Json(#[from] serde_json::Error),
}

impl Error {
    /// For `map_err`: adds what was being done to the system's message.
    pub(crate) fn file(action: &'static str) -> impl FnOnce(std::io::Error) -> Error {
        move |source| Error::File { action, source }
    }
}
