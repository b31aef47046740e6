//! The measurement of a pair repeated in a worker of its own, so that the page is never held up.
//!
//! That worker runs the page's own program once more, where no page is: nothing more has to be loaded for it. It gets
//! the session as a session file and answers once; it is ended to give the repeats up.

mod client;
mod worker;

pub use client::RepeatsLink;
pub use worker::{in_worker, listen};

use mechanics::comparison::SpreadOfDifferences;
use serde::{Deserialize, Serialize};

/// All runs, done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Repetition {
    /// How many there were.
    pub runs: u32,
    /// What they say.
    pub spread: SpreadOfDifferences,
}
