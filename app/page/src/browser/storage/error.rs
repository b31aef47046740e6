//! Why something could not be kept or found again, as a sentence: what is wrong, then what to do.

use thiserror::Error;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::DomException;

/// Why something could not be kept or found again.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum StorageError {
    /// The browser keeps nothing for this page.
    #[error(
        "this browser keeps nothing for this page, perhaps because its window is private: save the session to a file before you close it"
    )]
    Unavailable,
    /// There is no room.
    #[error(
        "there is no room left on this device, and what was saved before is still there: save the session to a file, then delete sessions or kept clips"
    )]
    Full,
    /// A newer version saved this session, or has the device's store in its hands.
    #[error(
        "a newer version has saved this session, so it is not saved over: reload this page while online to get the newer version, or save the session to a file"
    )]
    Newer,
    /// What is kept cannot be used.
    #[error("{0}")]
    Unrecovered(#[from] document::session::Error),
    /// Anything else, in the browser's words.
    #[error("the browser could not do it ({0}): save the session to a file, then reload this page")]
    Browser(String),
}

impl StorageError {
    /// What an exception of the browser means.
    pub(in crate::browser) fn from_js(thrown: &JsValue) -> Self {
        match thrown.dyn_ref::<DomException>() {
            Some(exception) => Self::from_exception(exception),
            None => Self::Browser(in_words(thrown)),
        }
    }

    fn from_exception(exception: &DomException) -> Self {
        match exception.name().as_str() {
            "QuotaExceededError" => Self::Full,
            "SecurityError" | "NotAllowedError" => Self::Unavailable,
            "VersionError" => Self::Newer,
            name => Self::Browser(format!("{name}: {}", exception.message())),
        }
    }
}

fn in_words(thrown: &JsValue) -> String {
    let error = thrown.dyn_ref::<js_sys::Error>().map(|e| String::from(e.to_string()));
    error.or_else(|| thrown.as_string()).unwrap_or_else(|| "without a reason".into())
}

impl From<idb::Error> for StorageError {
    fn from(error: idb::Error) -> Self {
        use idb::Error as E;
        match &error {
            E::DomException(exception) => Self::from_exception(exception),
            E::IndexedDbNotFound(_) => Self::Unavailable,
            E::AddFailed(thrown)
            | E::ClearFailed(thrown)
            | E::DeleteFailed(thrown)
            | E::GetAllFailed(thrown)
            | E::GetFailed(thrown)
            | E::IndexedDbOpenFailed(thrown)
            | E::ObjectStoreNotFound(thrown)
            | E::TransactionCommitError(thrown)
            | E::TransactionOpenFailed(thrown)
            | E::UpdateFailed(thrown) => Self::from_js(thrown),
            other => Self::Browser(other.to_string()),
        }
    }
}
