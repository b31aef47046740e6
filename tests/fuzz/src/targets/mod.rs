//! Every reader of what comes from outside.

mod clip;
mod protocol;
mod session;

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

/// All of them.
pub static TARGETS: [Target; 5] =
    [clip::CONTAINER, clip::TIMING, session::SESSION, session::CSV, protocol::PROTOCOL];

/// The target of this name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Target> {
    TARGETS.iter().find(|target| target.name == name)
}

/// For inputs in which everything may move.
fn anywhere(_: &[u8]) -> Vec<Range<usize>> {
    Vec::new()
}
