//! Why a message did not arrive as it was meant.

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Why a message could not be sent or read. The page words it for a person.
#[derive(Clone, Debug, PartialEq, Eq, Error, Serialize, Deserialize)]
pub enum ProtocolError {
    /// The message holds no text.
    #[error("no text")]
    NoText,
    /// The text is no message of this protocol.
    #[error("{reason}")]
    Unreadable {
        /// What the parser reports.
        reason: String,
    },
    /// The envelope names an attachment that is missing or of another kind.
    #[error("no attachment")]
    NoAttachment,
    /// The message could not be written, or the browser refused to send it.
    #[error("not sent: {reason}")]
    NotSent {
        /// What the serializer or the browser reports.
        reason: String,
    },
}
