//! A caveat that travels with a number: shown beside it and exported with it.

use serde::{Deserialize, Serialize};

/// A caveat in one sentence of plain words; two notes with the same key say the same thing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Note {
    /// A short stable name for this caveat, such as `far_side_mirrored`.
    pub key: String,
    /// The sentence a person reads: what is the case, and what it does to the number.
    pub sentence: String,
}
