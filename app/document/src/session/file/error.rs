//! Why a session file cannot be opened, as a sentence: the file, the reason, what to do.

use crate::session::Unsound;
use thiserror::Error;

/// Why a session file cannot be opened. Nothing already on the device is touched by any of them.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum FileError {
    /// There is nothing in it.
    #[error("“{name}” is empty: choose a session file saved from Stride Ledger")]
    Empty {
        /// File name.
        name: String,
    },
    /// The device did not give it.
    #[error("“{name}” could not be read, perhaps because it was moved or changed: choose it again")]
    Unread {
        /// File name.
        name: String,
    },
    /// It is longer than any session.
    #[error(
        "“{name}” is larger than 64 MB, more than any session: choose a session file saved from Stride Ledger"
    )]
    TooLarge {
        /// File name.
        name: String,
    },
    /// It is something else.
    #[error(
        "“{name}” is not a session file: choose one saved from Stride Ledger, its name ends in .stride.json"
    )]
    NotASession {
        /// File name.
        name: String,
    },
    /// It is one of ours, but damaged.
    #[error(
        "“{name}” is broken at line {line}, column {column} ({reason}): use another copy of it, or save it again where it was made"
    )]
    Broken {
        /// File name.
        name: String,
        /// Counted from one.
        line: usize,
        /// Counted from one.
        column: usize,
        /// What was met there.
        reason: String,
    },
    /// It reads well but cannot be true.
    #[error(
        "“{name}” cannot be opened, because {reason}: use another copy of it, or save it again where it was made"
    )]
    Unsound {
        /// File name.
        name: String,
        /// What cannot be.
        reason: Unsound,
    },
    /// A later version wrote it and this one cannot make sense of it.
    #[error(
        "“{name}” was made by a newer version ({made_with}): reload this page while online to get the newer version, then open the file again"
    )]
    Newer {
        /// File name.
        name: String,
        /// Which version.
        made_with: String,
    },
}

impl FileError {
    /// What a JSON reader's complaint says about a file, in the first 160 characters of its words.
    pub(super) fn broken(name: &str, complaint: &serde_json::Error) -> Self {
        let (line, column) = (complaint.line(), complaint.column());
        let words = complaint.to_string();
        let place = format!(" at line {line} column {column}");
        let reason = words.strip_suffix(&place).unwrap_or(&words);
        let reason = reason.chars().take(160).collect();
        Self::Broken { name: name.to_owned(), line, column, reason }
    }
}
