//! Sentences about what could not be saved or loaded on this device.

use super::document;
use crate::browser::storage::{Persistence, StorageError};
use crate::ui::autosave::SaveState;
use ::document::session::persistence::SaveFailure;

/// What is wrong, then what to do.
#[must_use]
pub fn sentence(error: &StorageError) -> String {
    match error {
        StorageError::Unavailable => {
            "this browser keeps nothing for this page, perhaps because its window is private: save the session to a file before you close it"
                .to_owned()
        }
        StorageError::Full => {
            "there is no room left on this device, and what was saved before is still there: save the session to a file, then delete sessions or kept clips"
                .to_owned()
        }
        StorageError::Newer => {
            "a newer version has saved this session, so it is not saved over: reload this page while online to get the newer version, or save the session to a file"
                .to_owned()
        }
        StorageError::Unrecovered(error) => document::sentence(error),
        StorageError::InvalidName => {
            "the session names a file in a way that this browser cannot store: save the session to a file, then open its clip again"
                .to_owned()
        }
        StorageError::Browser(reason) => format!(
            "the browser could not do it ({reason}): save the session to a file, then reload this page"
        ),
    }
}

/// Whether the browser keeps what is saved.
#[must_use]
pub fn persistence(persistence: Persistence) -> &'static str {
    match persistence {
        Persistence::Promised => "The browser keeps what is saved here until you delete it.",
        Persistence::NotPromised => {
            "The browser may clear what is saved here when the device runs short of room: save a session file of what you want to keep."
        }
        Persistence::Unknown => {
            "Whether the browser keeps what is saved here is not known: save a session file of what you want to keep."
        }
    }
}

/// The state of saving.
#[must_use]
pub fn save_state(state: &SaveState) -> String {
    match state {
        SaveState::Saved => "Saved on this device".to_owned(),
        SaveState::Saving => "Saving".to_owned(),
        SaveState::NotSaved(SaveFailure::NoAnswer) => {
            "Not saved: the browser has not answered; it is tried again".to_owned()
        }
        SaveState::NotSaved(SaveFailure::Refused(error)) => {
            format!("Not saved: {}", sentence(error))
        }
    }
}
