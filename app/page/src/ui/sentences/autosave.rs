//! Whether the session is saved on this device.

use document::session::SaveState;

/// In place of the save state while the session is read-only.
pub const READ_ONLY: &str = "Read-only";

/// The state of saving.
#[must_use]
pub fn save_state(state: &SaveState) -> String {
    match state {
        SaveState::Saved => "Saved on this device".to_owned(),
        SaveState::Saving => "Saving".to_owned(),
        SaveState::NotSaved(reason) => format!("Not saved: {reason}"),
    }
}
