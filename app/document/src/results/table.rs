//! The rows behind a chart or a section, as text.

/// A table of text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TextTable {
    /// What it shows.
    pub caption: String,
    /// One a column, with the unit.
    pub headings: Vec<String>,
    /// Each with one cell a column.
    pub rows: Vec<Vec<String>>,
}

/// The name of a trial by its index: `first`, `second`.
#[must_use]
pub fn ordinal(trial: usize) -> &'static str {
    if trial == 0 { "first" } else { "second" }
}
