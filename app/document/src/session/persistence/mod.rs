//! Saving a session on the device: when to save, what is stored, how it is recovered.

mod autosave;
mod backup;
mod checksum;
mod clip_match;
mod index;
mod revision;

pub use autosave::{Autosave, SaveFailure, SaveState, Ticket};
pub use backup::{BackupCopy, read_backup, with_backup, write_backup};
pub use clip_match::{ClipMatch, match_clip};
pub use index::{SessionEntry, orphans};
pub use revision::{OlderRevision, Recovered, Revision, push, recover};
