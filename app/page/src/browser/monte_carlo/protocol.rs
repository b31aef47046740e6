//! The messages between the page and the Monte Carlo worker: one request, one response, both as text.

use jobs::protocol::{Message, ProtocolError};
use mechanics::comparison::SpreadOfDifferences;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Repeat the measurement of the first two trials of a session.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MonteCarloRequest {
    /// The text of a session file.
    pub session: String,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum MonteCarloResponse {
    /// All runs are done.
    Done(Repetition),
    /// The runs could not be done.
    Failed(MonteCarloError),
}

impl Message for MonteCarloRequest {}
impl Message for MonteCarloResponse {}

/// The result of all runs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Repetition {
    /// Number of runs.
    pub runs: u32,
    /// The spread of the differences over the runs.
    pub spread: SpreadOfDifferences,
}

/// Why there is no result. `ui/sentences` words it for a person.
#[derive(Clone, Debug, PartialEq, Eq, Error, Serialize, Deserialize)]
pub enum MonteCarloError {
    /// The browser refused to start the worker.
    #[error("worker not started")]
    NotStarted,
    /// A message could not be read or sent.
    #[error("protocol: {0}")]
    Protocol(#[from] ProtocolError),
    /// The worker cannot read the session.
    #[error("session: {reason}")]
    Session {
        /// What is wrong with it.
        reason: String,
    },
    /// The two trials lack what the comparison needs.
    #[error("incomplete")]
    Incomplete,
    /// The worker stopped before it answered.
    #[error("stopped: {message}")]
    Stopped {
        /// What the browser reports.
        message: String,
    },
}

#[cfg(test)]
mod tests {
    use super::*;
    use jobs::protocol::{decode, encode};

    #[test]
    fn every_message_survives_its_text() {
        let request = MonteCarloRequest { session: "{\"format\": 1}\n“a”".into() };
        assert_eq!(decode(encode(&request).ok().as_deref()), Ok(request));
        let unreadable = ProtocolError::Unreadable { reason: "EOF".into() };
        for error in [
            MonteCarloError::NotStarted,
            MonteCarloError::Protocol(unreadable),
            MonteCarloError::Session { reason: "empty".into() },
            MonteCarloError::Incomplete,
            MonteCarloError::Stopped { message: "unreachable".into() },
        ] {
            let response = MonteCarloResponse::Failed(error);
            assert_eq!(decode(encode(&response).ok().as_deref()), Ok(response));
        }
    }

    #[test]
    fn a_text_that_is_no_message_is_an_error() {
        for text in [None, Some(""), Some("null"), Some("{\"Done\":{}}")] {
            assert!(decode::<MonteCarloResponse>(text).is_err(), "{text:?}");
            assert!(decode::<MonteCarloRequest>(text).is_err(), "{text:?}");
        }
    }
}
