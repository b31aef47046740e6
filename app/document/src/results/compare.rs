//! Two analysed trials compared: second against first.

use super::analyse::TrialAnalysis;
use mechanics::comparison::{
    self, AnalysedTrial, Blend, Comparison, MonteCarlo, SpreadOfDifferences,
};

/// Seed of the resampling. Chosen: any number will do, as long as it stays the same.
const SEED: u64 = 1;

/// Two trials and their comparison.
#[derive(Clone, Debug)]
pub struct TrialPair {
    /// The first way of running.
    pub first: TrialAnalysis,
    /// The second way of running.
    pub second: TrialAnalysis,
    /// Second against first.
    pub comparison: Comparison,
}

impl TrialPair {
    /// Compares two trials, both with the same cut-offs.
    #[must_use]
    pub fn new(first: &TrialAnalysis, second: &TrialAnalysis) -> Self {
        let [first, second] = with_common_cutoffs(first, second);
        let comparison = comparison::compare(side(&first), side(&second), SEED);
        Self { first, second, comparison }
    }

    /// The Monte Carlo repetition of the measurement: each run draws its errors again.
    #[must_use]
    pub fn monte_carlo(&self) -> MonteCarlo {
        let (first, second) = (side(&self.first), side(&self.second));
        MonteCarlo::new(first, second, SEED, MonteCarlo::DEFAULT_RUNS)
    }

    /// The same pair, its intervals computed with the spread that the Monte Carlo repetition found.
    #[must_use]
    pub fn with_spread(&self, spread: &SpreadOfDifferences) -> Self {
        let (first, second) = (side(&self.first), side(&self.second));
        let comparison = comparison::compare_with(first, second, SEED, spread);
        Self { comparison, ..self.clone() }
    }

    /// The swing of the first way blended in steps into that of the second.
    #[must_use]
    pub fn blend(&self) -> Vec<Blend> {
        comparison::blend(side(&self.first), side(&self.second))
    }
}

fn side(trial: &TrialAnalysis) -> AnalysedTrial<'_> {
    AnalysedTrial { trial: &trial.trial, analysis: &trial.analysis }
}

/// Both trials analysed with the same cut-offs.
fn with_common_cutoffs(first: &TrialAnalysis, second: &TrialAnalysis) -> [TrialAnalysis; 2] {
    match comparison::with_shared_cutoffs(side(first), side(second)) {
        Ok(Some((one, other))) => [
            TrialAnalysis::new(first.trial.clone(), one),
            TrialAnalysis::new(second.trial.clone(), other),
        ],
        // They share them already; or, which cannot happen once both are analysed, one is refused.
        Ok(None) | Err(_) => [first.clone(), second.clone()],
    }
}
