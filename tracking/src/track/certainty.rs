//! How sure a place is.

use super::sample::{DOUBT, State};

/// What is known of a place that was found when its certainty is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Evidence {
    /// A sticker: it looks the same wherever it goes.
    Sticker {
        correlation: f32,
        /// The merit it lost to the rest of the body.
        blame: f32,
        /// Distance from the expected place over its standard deviation.
        away_ratio: f64,
    },
    /// Skin or cloth: errors come by drifting.
    Soft(Softness),
}

/// What tells of drift on skin and cloth, each from zero up.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Softness {
    /// The most that a limb is longer or shorter than it was, over what it varies by itself.
    pub strain_ratio: f64,
    /// Standard deviation that the drift since a person placed it has left.
    pub drift_px: f64,
    /// How long it went unseen not long ago: one for ten frames just now.
    pub gap_ratio: f64,
    /// Distance from where its neighbours carry it, over what is usual for them.
    pub torn_ratio: f64,
    /// How little is known of its motion since a person placed it where it had not been followed: one just then.
    pub unknown_ratio: f64,
}

impl Softness {
    /// Its numbers in the order of its fields.
    #[must_use]
    pub fn numbers(&self) -> [f64; 5] {
        let Self { strain_ratio, drift_px, gap_ratio, torn_ratio, unknown_ratio } = *self;
        [strain_ratio, drift_px, gap_ratio, torn_ratio, unknown_ratio]
    }
}

/// Weight and limit of each number of [`Softness`], in its order, and what is added to their sum.
///
/// Chosen: fitted by `tests/evaluation/fit_certainty.py` (logistic regression over samples of rendered clips of
/// bare skin at 60 and 120 frames/s; passes left alone count a fifth of passes that are corrected). Correlations
/// are not among them: beside these they told little of what drifts, which goes on looking as it did.
const WEIGHTS: [(f64, f64); 5] =
    [(0.943, 4.0), (2.970, 2.0), (3.707, 1.0), (0.836, 4.0), (3.020, 1.0)];
const BASE: f64 = -7.405;

/// State and probability of being more than 6 px off, of a place that was found.
pub(super) fn found(evidence: Evidence) -> (State, f64) {
    let p_wrong = match evidence {
        Evidence::Sticker { correlation, blame, away_ratio } => {
            let doubt = (0.7 - f64::from(correlation)).max(0.0) * 1.5
                + f64::from(blame)
                + 0.03 * (away_ratio - 1.5).max(0.0);
            (0.002 + doubt).clamp(0.0, 0.95)
        }
        Evidence::Soft(softness) => soft(&softness),
    };
    (if p_wrong > DOUBT { State::Doubtful } else { State::Seen }, p_wrong)
}

/// `1 / (1 + exp(-(base + sum of weight times number)))`, each number up to its limit.
fn soft(softness: &Softness) -> f64 {
    let numbers = softness.numbers();
    let parts = numbers.iter().zip(WEIGHTS).map(|(n, (weight, limit))| weight * n.min(limit));
    let z = BASE + parts.sum::<f64>();
    1.0 / (1.0 + exponential(-z))
}

/// `(1 + x / 1024)^1024`, which is `exp(x)` but for a few per cent, by products that every machine rounds alike.
fn exponential(x: f64) -> f64 {
    let mut power = 1.0 + x.clamp(-20.0, 20.0) / 1024.0;
    for _ in 0..10 {
        power *= power;
    }
    power
}

/// Frames a marker may go on unseen before its place means nothing.
const LONGEST_COAST: u32 = 20;
/// Probability of being off of a marker that has been unseen for one frame, and what is left of its being right
/// after each further one: carried by its neighbours, and alone.
///
/// Chosen: by the shares that were off in the clips that `soft` is fitted to (0.04 to 0.5 and 0.3 to 0.8 in the
/// first frame; 0.3 to 0.6 and 0.95 in the fourth).
const CARRIED: (f64, f64) = (0.2, 0.87);
const ALONE: (f64, f64) = (0.55, 0.6);

/// State and probability of being more than 6 px off, of a place that was carried on for so many frames.
pub(super) fn carried(unseen: u32, by_neighbours: bool) -> (State, f64) {
    let (first, left) = if by_neighbours { CARRIED } else { ALONE };
    let mut right = 1.0 - first;
    for _ in 1..unseen.min(2 * LONGEST_COAST) {
        right *= left;
    }
    (if unseen > LONGEST_COAST { State::Lost } else { State::Coasting }, (1.0 - right).min(0.98))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_exponential_is_that_of_the_library_within_a_tenth_where_it_decides() {
        for x in [-5.0, -2.0, -0.5, 0.0, 1.0, 3.0, 6.0_f64] {
            // The product falls short of exp(x) by x^2 / 2048.
            assert!((exponential(x) / x.exp() - 1.0).abs() < 0.02, "{x}");
        }
    }

    #[test]
    fn every_sign_of_drift_makes_a_place_less_sure() {
        let calm = Softness { strain_ratio: 0.5, drift_px: 0.3, ..Softness::default() };
        let (state, low) = found(Evidence::Soft(calm));
        assert!(low < 0.01 && state == State::Seen, "{low}");
        let worse = [
            Softness { strain_ratio: 3.0, ..calm },
            Softness { drift_px: 1.5, ..calm },
            Softness { gap_ratio: 0.8, ..calm },
            Softness { torn_ratio: 3.0, ..calm },
            Softness { unknown_ratio: 1.0, ..calm },
        ];
        for one in worse {
            assert!(found(Evidence::Soft(one)).1 > 3.0 * low, "{one:?}");
        }
        let all = Softness { strain_ratio: 2.0, drift_px: 2.0, torn_ratio: 2.0, ..calm };
        let (state, high) = found(Evidence::Soft(all));
        assert!(high > 0.5 && state == State::Doubtful, "{high}");
    }

    #[test]
    fn a_marker_that_goes_on_unseen_is_less_and_less_sure_and_lost_in_the_end() {
        for by_neighbours in [false, true] {
            let p: Vec<f64> = (1..=20).map(|n| carried(n, by_neighbours).1).collect();
            assert!(p.windows(2).all(|w| w[1] >= w[0]), "{p:?}");
            assert_eq!(carried(20, by_neighbours).0, State::Coasting);
            assert_eq!(carried(21, by_neighbours).0, State::Lost);
        }
        assert!(carried(1, true).1 < carried(1, false).1);
    }
}
