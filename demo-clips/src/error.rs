//! What can go wrong while clips are made.

use thiserror::Error;

/// Why the clips could not be made.
#[derive(Debug, Error)]
pub enum Error {
    /// The command line was not understood.
    #[error(
        "{0}: use --seed N, --rate N, --no-stickers, --out FOLDER or --truth-only; after the word varied also --stickers yes|no, --camera still|panned|hand-held, --course belt|crossing, --seconds S"
    )]
    Option(String),
    /// A file could not be written or a pipe broke.
    #[error("{what}: {source}: check the folder and the space left on the disk")]
    File {
        /// What was being done.
        what: String,
        /// What the system said.
        source: std::io::Error,
    },
    /// The encoder did not do its work.
    #[error("ffmpeg ended with {0}: install Debian's ffmpeg package with libx264")]
    Encoder(String),
    /// A record could not be written as JSON.
    #[error("the record of the truth could not be written: {0}: report this as a fault")]
    Json(#[from] serde_json::Error),
}

impl Error {
    /// Wraps what the system said with what was being done.
    pub fn file(what: impl Into<String>) -> impl FnOnce(std::io::Error) -> Error {
        let what = what.into();
        move |source| Error::File { what, source }
    }
}
