//! The two inks: every trial keeps its colour, joint shape and dash on all screens.

/// The style-sheet class of a trial, by its index in the session.
#[must_use]
pub fn ink_class(index: usize) -> &'static str {
    if index == 0 { "first-ink" } else { "second-ink" }
}
