//! The house rules: each takes the source tree and answers with the places that break it.

pub mod commands;
pub mod files;
pub mod imports;
pub mod names;
pub mod privacy;
pub mod quantities;
pub mod sizes;
pub mod source;

use std::fmt;

/// A place where a rule is broken, and in which way.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Violation {
    /// Path from the root of the tree.
    pub path: String,
    /// Line, from 1; 0 when the whole file or folder is meant.
    pub line: usize,
    /// What is wrong, then what to do.
    pub what: String,
}

impl Violation {
    /// A violation at a line of a file.
    pub fn at(path: &str, line: usize, what: impl Into<String>) -> Self {
        Self { path: path.to_owned(), line, what: what.into() }
    }
}

impl fmt::Display for Violation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}", self.path, self.line, self.what)
    }
}
