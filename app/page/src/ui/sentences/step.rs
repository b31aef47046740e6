//! The way from step to step, and the questions that two screens share.

/// The question of the step Ledger.
pub const LEDGER: &str = "What does a stride cost?";
/// The question of the step Side by side.
pub const SIDE_BY_SIDE: &str = "How do the two ways of running differ?";
/// The heading over the cautions.
pub const CAUTIONS: &str = "Take care";
/// Above the list of what is missing before there are numbers.
pub const NO_NUMBERS_YET: &str = "Not yet: there are no numbers before this is done.";

/// On the button that leads to the next step.
#[must_use]
pub fn next(step: &str) -> String {
    format!("Next: {step}")
}

/// On the button that leads to the step where something is missing.
#[must_use]
pub fn go_to(step: &str) -> String {
    format!("Go to {step}")
}
