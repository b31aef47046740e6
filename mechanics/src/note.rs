//! A caveat that travels with a number: shown beside it, exported with it.

use serde::{Deserialize, Serialize};

/// A caveat in one plain sentence; two notes with the same key say the same thing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Note {
    /// Short stable name, such as `far_side_mirrored`.
    pub key: String,
    /// The sentence shown: what is the case, and what it does to the number.
    pub sentence: String,
}
