//! A trial with its analysis: one side of a comparison.

use crate::analysis::{Analysis, Trial};

/// A trial with its analysis.
#[derive(Clone, Copy, Debug)]
pub struct AnalysedTrial<'a> {
    /// How it was recorded, and what was entered.
    pub trial: &'a Trial,
    /// Its analysis.
    pub analysis: &'a Analysis,
}
