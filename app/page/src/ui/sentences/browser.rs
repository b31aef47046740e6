//! Sentences about what the browser did not give.

use crate::browser::BrowserError;
use crate::browser::monte_carlo::MonteCarloError;
use jobs::protocol::ProtocolError;

/// What is wrong, then what to do.
#[must_use]
pub fn sentence(error: &BrowserError) -> String {
    match error {
        BrowserError::WorkerNotStarted => {
            "The browser does not start the worker that decodes clips: load the page again."
                .to_owned()
        }
        BrowserError::ExampleClipMissing { name } => format!(
            "the example's clip {name} could not be loaded: connect once to where this page came from and try again"
        ),
    }
}

/// Why the measurements were not repeated; none if the comparison itself says it already.
#[must_use]
pub fn monte_carlo(error: &MonteCarloError) -> Option<String> {
    match error {
        MonteCarloError::Protocol(error) => Some(answer_unreadable(error)),
        MonteCarloError::Session { reason } => {
            Some(format!("The measurements were not repeated ({reason}): load the page again."))
        }
        MonteCarloError::NotStarted
        | MonteCarloError::Incomplete
        | MonteCarloError::Stopped { .. } => None,
    }
}

/// The page could not read an answer of a worker.
#[must_use]
pub fn answer_unreadable(error: &ProtocolError) -> String {
    let reason = protocol_reason(error);
    format!("The worker's answer could not be read ({reason}). {LOAD_AGAIN}")
}

/// A worker could not read a request of the page.
#[must_use]
pub fn request_unreadable(error: &ProtocolError) -> String {
    let reason = protocol_reason(error);
    format!("The worker could not read what the page asked ({reason}). {LOAD_AGAIN}")
}

const LOAD_AGAIN: &str = "Nothing entered is lost: load the page again.";

fn protocol_reason(error: &ProtocolError) -> &str {
    match error {
        ProtocolError::NoText => "it holds no text",
        ProtocolError::NoAttachment => "its attachment is missing",
        ProtocolError::Unreadable { reason } | ProtocolError::NotSent { reason } => reason,
    }
}

/// The worker stopped; a new one was started.
#[must_use]
pub fn worker_restarted(reason: &str) -> String {
    format!("The worker stopped ({reason}). Nothing entered is lost: it was started again.")
}

/// The worker stopped too often.
#[must_use]
pub fn worker_lost(reason: &str) -> String {
    format!(
        "The worker does not start ({reason}). Nothing entered is lost: load the page again, or use another browser."
    )
}
