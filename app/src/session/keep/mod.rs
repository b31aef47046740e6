//! Keeping a session on the device: when to save, what is kept of it, how it is found again.

mod autosave;
mod clip_match;
mod generation;
mod second;
mod shelf;

pub use autosave::{Autosave, SaveState, Ticket};
pub use clip_match::{ClipMatch, match_clip};
pub use generation::{GENERATIONS, Generation, Recovered, Unrecovered, push, recover};
pub use second::{SecondCopy, read_copy, with_copy, write_copy};
pub use shelf::{Kept, orphans};
