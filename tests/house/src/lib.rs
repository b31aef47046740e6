//! The house rules: each takes the sources or the manifests and answers with the places that break it.

pub mod circles;
pub mod commands;
pub mod dependencies;
pub mod files;
mod items;
pub mod layers;
pub mod modules;
pub mod panics;
mod paths;
pub mod pixels;
pub mod privacy;
pub mod quantities;
pub mod resolve;
pub mod signatures;
pub mod sizes;
pub mod source;
pub mod unused;
pub mod vocabulary;
pub mod workspace;

use std::fmt;

/// A place that breaks a rule, and how.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Violation {
    /// Path from the root of the tree.
    pub path: String,
    /// Line, from 1; 0 for a whole file or folder.
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
