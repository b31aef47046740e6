//! Two trials beside each other: how far apart, how surely, whether fairly, and why.

mod blend;
mod difference;
mod explain;
mod fairness;
mod repeat;

pub use difference::{bootstrap_half_si, welch_half_si};

#[cfg(test)]
#[path = "../../benches/invented/mod.rs"]
mod invented;

use crate::Error;
use crate::analysis::{Analysis, Trial, analyse_with};
use crate::body::Landmark;
use crate::measures::Measure;
pub use blend::{Blend, blend};
pub use repeat::{Repeats, SpreadOfDifferences};
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
    /// 95 % interval of the cadence's part, of the strides' spread and, to first order, of scale and markers. J.
    pub cadence_95_j: Option<(f64, f64)>,
    /// The same of the speed's part. J.
    pub speed_95_j: Option<(f64, f64)>,
    /// The same of the shape's part. J.
    pub shape_95_j: Option<(f64, f64)>,
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

/// One cut-off a landmark for both: the higher of the two, which takes nothing from either that its own
/// cut-off would leave. Empty where they are the same already.
#[must_use]
pub fn shared_cutoffs_hz(first: &Analysis, second: &Analysis) -> BTreeMap<Landmark, f64> {
    let (a, b) = (&first.cutoffs_hz, &second.cutoffs_hz);
    if a.iter().all(|(l, hz)| b.get(l).is_none_or(|other| other == hz)) {
        return BTreeMap::new();
    }
    a.iter().filter_map(|(l, hz)| Some((*l, hz.max(*b.get(l)?)))).collect()
}

/// Both analyses with the same cut-offs; none where they have them already.
///
/// # Errors
/// As for [`analyse_with`].
pub fn alike(
    first: (&Trial, &Analysis),
    second: (&Trial, &Analysis),
) -> Result<Option<(Analysis, Analysis)>, Error> {
    let cutoffs_hz = shared_cutoffs_hz(first.1, second.1);
    if cutoffs_hz.is_empty() {
        return Ok(None);
    }
    let again = |(trial, before): (&Trial, &Analysis)| {
        let mut analysis = analyse_with(trial, &cutoffs_hz)?;
        analysis.residuals = before.residuals.clone();
        Ok(analysis)
    };
    Ok(Some((again(first)?, again(second)?)))
}

/// Compares the second trial with the first, the spread of the measurement taken to first order. The same
/// seed gives the same intervals.
#[must_use]
pub fn compare(first: Side<'_>, second: Side<'_>, seed: u64) -> Comparison {
    compare_with(first, second, seed, &SpreadOfDifferences::new())
}

/// Compares the second trial with the first; the measurement adds the spread given, or, for measures that
/// are not among them, what it is to first order.
#[must_use]
pub fn compare_with(
    first: Side<'_>,
    second: Side<'_>,
    seed: u64,
    spread: &SpreadOfDifferences,
) -> Comparison {
    let one = |measure: &Measure| {
        let pair = (first.analysis.measures.get(measure)?, second.analysis.measures.get(measure)?);
        let to_first_order_si = || pair.0.measured_sd_si.hypot(pair.1.measured_sd_si);
        let sd_si = spread.get(measure).copied().unwrap_or_else(to_first_order_si);
        Some((*measure, difference::difference(*measure, pair, sd_si, seed)))
    };
    Comparison {
        differences: first.analysis.measures.keys().filter_map(one).collect(),
        fairness: fairness::fairness(first, second),
        split: explain::split(first, second),
    }
}
