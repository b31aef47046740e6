//! Why something could not be saved or loaded.

use crate::browser::js_error::reason;
use thiserror::Error;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::DomException;

/// Why something could not be saved or loaded. `ui/sentences` words it for a person.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum StorageError {
    /// The browser stores nothing for this page.
    #[error("unavailable")]
    Unavailable,
    /// The device or the page's quota is full.
    #[error("full")]
    Full,
    /// A newer version of the program saved this session or upgraded the database.
    #[error("newer version")]
    Newer,
    /// Nothing readable is saved.
    #[error("{0}")]
    Unrecovered(#[from] document::session::Error),
    /// A name that cannot be the name of a file.
    #[error("invalid name")]
    InvalidName,
    /// Any other failure, as the browser reports it.
    #[error("browser: {0}")]
    Browser(String),
}

impl StorageError {
    /// The error that an exception of the browser means.
    pub(in crate::browser) fn from_js(thrown: &JsValue) -> Self {
        match thrown.dyn_ref::<DomException>() {
            Some(exception) => Self::from_exception(exception),
            None => Self::Browser(reason(thrown)),
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
