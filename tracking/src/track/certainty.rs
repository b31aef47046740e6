//! How sure a place is.

use super::sample::{DOUBT, State};

/// What is known of a place when its certainty is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Evidence {
    pub correlation: f32,
    /// The merit it lost to the rest of the body.
    pub blame: f32,
    /// Distance from the expected place over its standard deviation.
    pub away_ratio: f64,
}

/// State and probability of being more than 6 px off, of a place that was found.
pub(super) fn found(evidence: Evidence) -> (State, f64) {
    let doubt = (0.8 - f64::from(evidence.correlation)).max(0.0) * 1.5
        + f64::from(evidence.blame)
        + 0.03 * (evidence.away_ratio - 1.5).max(0.0);
    let p_wrong = (0.002 + doubt).clamp(0.0, 0.95);
    (if p_wrong > DOUBT { State::Doubtful } else { State::Seen }, p_wrong)
}

/// Frames a marker may go on unseen before its place means nothing.
const LONGEST_COAST: u32 = 20;

/// State and probability of being more than 6 px off, of a place that was carried on for so many frames.
pub(super) fn carried(unseen: u32) -> (State, f64) {
    let n = f64::from(unseen);
    let p_wrong = (0.1 + 0.06 * n).min(0.98);
    (if unseen > LONGEST_COAST { State::Lost } else { State::Coasting }, p_wrong)
}
