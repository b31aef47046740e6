//! What a target is.

use std::ops::Range;

/// A reader of what comes from outside.
pub struct Target {
    /// Its name, with which the files of its fixtures begin.
    pub name: &'static str,
    /// Inputs to begin with.
    pub seeds: fn() -> Vec<Vec<u8>>,
    /// The parts of an input in which bytes change and none moves; none for the whole of it.
    pub fields: fn(&[u8]) -> Vec<Range<usize>>,
    /// Words to insert.
    pub dictionary: &'static [&'static [u8]],
    /// Reads an input; panics when what it read is not sound.
    pub run: fn(&[u8]),
}

/// For inputs in which everything may move.
#[must_use]
pub fn anywhere(_: &[u8]) -> Vec<Range<usize>> {
    Vec::new()
}
