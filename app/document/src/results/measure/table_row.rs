//! One row of the table of measures, and how an estimate is shown by it.

use crate::results::format::{ShownValue, Unit, decimals_of};
use mechanics::measures::Estimate;

/// All that the program states about one measure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Stable name in files, the same as in the mechanics.
    pub identifier: &'static str,
    /// Its name on screen.
    pub heading: &'static str,
    /// Its display unit.
    pub unit: Unit,
    /// Most decimals with which it is shown.
    pub decimals: usize,
    /// What it is, and what it is not, in a sentence.
    pub meaning: &'static str,
    /// How it is computed.
    pub method: &'static str,
    /// Source of the definition.
    pub source: &'static str,
}

impl Row {
    /// Heading with its unit: `Heel lift, cm`.
    #[must_use]
    pub fn heading_with_unit(&self) -> String {
        format!("{}, {}", self.heading, self.unit.symbol())
    }

    /// An estimate as text, or a dash with its reason.
    #[must_use]
    pub fn shown(&self, estimate: Option<&Estimate>) -> ShownValue {
        self.shown_with(estimate, self.decimals_of(estimate))
    }

    /// Estimates side by side: all with the decimals that the least certain one allows.
    #[must_use]
    pub fn shown_alike(&self, estimates: &[Option<&Estimate>]) -> Vec<ShownValue> {
        let decimals = estimates.iter().map(|e| self.decimals_of(*e)).min().unwrap_or(0);
        estimates.iter().map(|e| self.shown_with(*e, decimals)).collect()
    }

    fn decimals_of(&self, estimate: Option<&Estimate>) -> usize {
        estimate.map_or(self.decimals, |e| decimals_of(e, self.unit, self.decimals))
    }

    fn shown_with(&self, estimate: Option<&Estimate>, decimals: usize) -> ShownValue {
        match estimate {
            Some(estimate) => ShownValue::of(estimate, self.unit, decimals),
            None => ShownValue::none(self.unit, "it needs markers that are not there"),
        }
    }
}
