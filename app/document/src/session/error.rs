//! What the session refuses, as data: the page composes the sentences.

use super::invalid::Invalid;
use thiserror::Error;

/// Why a command, a file, a saved session or the example is refused.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum Error {
    /// A command names a trial that does not exist.
    #[error("no such trial")]
    NoTrial,
    /// A command adds a trial whose identifier is taken.
    #[error("the trial exists already")]
    TrialTaken,
    /// A command names a frame outside the clip.
    #[error("frame {frame} of {frame_count}")]
    NoFrame {
        /// The frame named.
        frame: u32,
        /// Frames of the clip.
        frame_count: u32,
    },
    /// A command brings what a session must not contain.
    #[error("invalid: {0}")]
    Invalid(#[from] Invalid),
    /// A session file cannot be opened. Nothing saved on the device is touched.
    #[error("file {name}: {fault}")]
    File {
        /// File name.
        name: String,
        /// What is wrong with it.
        fault: FileFault,
    },
    /// Nothing is saved under this identifier.
    #[error("nothing is saved")]
    NothingSaved,
    /// Every saved revision is damaged.
    #[error("every saved revision is damaged")]
    AllDamaged,
    /// The description of the example is broken.
    #[error("example: {reason}")]
    ExampleBroken {
        /// The JSON reader's complaint.
        reason: String,
    },
    /// Not every clip of the example was opened.
    #[error("{opened} of {expected} clips of the example")]
    ExampleClips {
        /// Clips of the example.
        expected: usize,
        /// Clips that were opened.
        opened: usize,
    },
}

/// What is wrong with a session file.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum FileFault {
    /// It is empty.
    #[error("empty")]
    Empty,
    /// The device did not deliver its content.
    #[error("unreadable")]
    Unreadable,
    /// It is larger than any session.
    #[error("too large")]
    TooLarge,
    /// It is not a session file.
    #[error("not a session file")]
    NotASession,
    /// It is a session file, but damaged.
    #[error("line {line}, column {column}: {reason}")]
    Broken {
        /// Counted from one.
        line: usize,
        /// Counted from one.
        column: usize,
        /// The JSON reader's complaint, at most 160 characters.
        reason: String,
    },
    /// It can be parsed, but not be true.
    #[error("invalid: {0}")]
    Invalid(Invalid),
    /// A later version wrote it, and this one cannot read it.
    #[error("written by {made_with}")]
    Newer {
        /// The version that wrote it.
        made_with: String,
    },
}

impl FileFault {
    /// This fault of a file.
    #[must_use]
    pub fn of(self, name: &str) -> Error {
        Error::File { name: name.to_owned(), fault: self }
    }

    /// A JSON reader's complaint, without its line and column at the end.
    pub(super) fn broken(complaint: &serde_json::Error) -> Self {
        let (line, column) = (complaint.line(), complaint.column());
        let text = complaint.to_string();
        let position = format!(" at line {line} column {column}");
        let reason = text.strip_suffix(&position).unwrap_or(&text);
        Self::Broken { line, column, reason: reason.chars().take(160).collect() }
    }
}
