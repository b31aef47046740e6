//! Compares two analysed trials.

use super::analysed_trial::AnalysedTrial;
use super::difference::{Difference, difference};
use super::fairness::{Fairness, fairness};
use super::monte_carlo::SpreadOfDifferences;
use super::split::{Split, split};
use crate::measures::Measure;
use std::collections::BTreeMap;

/// The second trial compared with the first.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// The difference of every measure that both have.
    pub differences: BTreeMap<Measure, Difference>,
    /// Every condition of fairness.
    pub fairness: Vec<Fairness>,
    /// What explains the difference in internal work.
    pub split: Option<Split>,
}

/// Compares the second trial with the first, with the SD of the measurement to first order. The same seed gives the
/// same intervals.
#[must_use]
pub fn compare(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>, seed: u64) -> Comparison {
    compare_with(first, second, seed, &SpreadOfDifferences::new())
}

/// Compares the second trial with the first, with these SDs of the measurement; measures that are not among them have
/// theirs to first order.
#[must_use]
pub fn compare_with(
    first: AnalysedTrial<'_>,
    second: AnalysedTrial<'_>,
    seed: u64,
    spread: &SpreadOfDifferences,
) -> Comparison {
    let one = |measure: &Measure| {
        let before = first.analysis.measures.get(measure)?;
        let after = second.analysis.measures.get(measure)?;
        let to_first_order_si = || before.measured_sd_si.hypot(after.measured_sd_si);
        let sd_si = spread.get(measure).copied().unwrap_or_else(to_first_order_si);
        Some((*measure, difference(*measure, before, after, sd_si, seed)))
    };
    Comparison {
        differences: first.analysis.measures.keys().filter_map(one).collect(),
        fairness: fairness(first, second),
        split: split(first, second),
    }
}
