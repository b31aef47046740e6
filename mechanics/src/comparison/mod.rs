//! Comparison of two trials: their differences, how certain and how fair they are, and what explains them.

mod analysed_trial;
mod blend;
mod compare;
mod difference;
mod fairness;
mod interval;
mod monte_carlo;
mod shared_cutoffs;
mod split;

pub use analysed_trial::AnalysedTrial;
pub use blend::{Blend, blend};
pub use compare::{Comparison, compare, compare_with};
pub use difference::Difference;
pub use fairness::Fairness;
pub use interval::{bootstrap_half_si, welch_half_si};
pub use monte_carlo::{MonteCarlo, SpreadOfDifferences};
pub use shared_cutoffs::with_shared_cutoffs;
pub use split::Split;
