//! Two trials beside each other: how far apart, how surely, whether fairly, and why.

mod difference;
mod explain;
mod fairness;

pub use difference::{bootstrap_half_si, welch_half_si};

use crate::analysis::Analysis;
use crate::measures::Measure;
use std::collections::BTreeMap;

/// Second minus first, for one measure.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// Second mean minus first mean, in the SI unit of the measure.
    pub difference_si: f64,
    /// 95 % interval of it (the wider of Welch and moving-block bootstrap, with the measurement's own spread).
    pub interval_95_si: Option<(f64, f64)>,
    /// Whether the interval leaves out zero.
    pub seen: bool,
    /// The smallest difference worth speaking of, where one is known (reference 7c).
    pub smallest_worthwhile_si: Option<f64>,
}

/// One condition of a fair comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Fairness {
    /// Stable name: `speed`, `strides`, `cutoff`, `table`, `frame_rate`, `marker_set`, `mass`.
    pub key: String,
    /// Whether it holds.
    pub holds: bool,
    /// What was found, in plain words.
    pub found: String,
    /// What to do when it does not hold.
    pub what_to_do: String,
}

/// How the difference in internal work per stride comes about; the parts sum to the whole exactly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Split {
    /// The part due to another stride time. J.
    pub cadence_j: f64,
    /// The part due to another speed. J.
    pub speed_j: f64,
    /// The part due to the shape of the movement. J.
    pub shape_j: f64,
}

/// The second trial against the first.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// For every measure that both have.
    pub differences: BTreeMap<Measure, Difference>,
    /// Every condition of fairness.
    pub fairness: Vec<Fairness>,
    /// Where the difference in internal work comes from.
    pub split: Option<Split>,
}

/// What of a trial's conditions matters to fairness.
#[derive(Clone, Copy, Debug)]
pub struct Side<'a> {
    /// How it was recorded and entered.
    pub trial: &'a crate::analysis::Trial,
    /// What came out.
    pub analysis: &'a Analysis,
}

/// Compares the second trial with the first. The same seed gives the same intervals.
#[must_use]
pub fn compare(first: Side<'_>, second: Side<'_>, seed: u64) -> Comparison {
    let of = |side: Side<'_>, m: &Measure| side.analysis.measures.get(m).cloned();
    let differences = (first.analysis.measures.keys())
        .filter_map(|m| {
            let spreads = (first.trial.spread(), second.trial.spread());
            Some((*m, difference::difference(*m, (&of(first, m)?, &of(second, m)?), spreads, seed)))
        })
        .collect();
    Comparison {
        differences,
        fairness: fairness::fairness(first, second),
        split: explain::split(first, second),
    }
}
