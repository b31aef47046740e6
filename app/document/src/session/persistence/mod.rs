//! Keeping a session on the device: when to save, what is kept of it, how it is found again.

mod autosave;
mod backup;
mod clip_match;
mod index;
mod revision;

pub use autosave::{Autosave, SaveState, Ticket};
pub use backup::{SecondCopy, read_copy, with_copy, write_copy};
pub use clip_match::{ClipMatch, match_clip};
pub use index::{Kept, orphans};
pub use revision::{GENERATIONS, Generation, Recovered, Unrecovered, push, recover};
