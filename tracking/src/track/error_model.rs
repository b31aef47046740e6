//! The error model: how certain a place is.
//!
//! A logistic regression from [`Features`] to the probability of being more than 6 px off. It judges a place once it is
//! chosen and decides nothing; what decides during the search stands in [`super::cost`], and what neighbours rely on in
//! [`super::gating`].
//!
//! Fitted by `tests/evaluation/fit_certainty.py`, which prints the weights for this file, on samples of rendered clips,
//! skin and stickers at 30 to 240 frames/s; passes that nobody corrects count a quarter of corrected ones, no weight is less
//! than zero.

use super::sample::{DOUBTFUL, State};
use crate::scales::LONGEST_COAST_FRAMES;

/// What shows that a place may be off, each from zero up.
///
/// ```
/// use tracking::track::Features;
///
/// let features = Features { decorrelation_ratio: 0.1, limb_strain_ratio: 2.0, ..Features::default() };
/// // In the order in which the weights are fitted.
/// assert_eq!(features.numbers()[0], 0.1);
/// assert_eq!(features.numbers()[3], 2.0);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Features {
    /// One less its similarity.
    pub decorrelation_ratio: f64,
    /// The merit that it lost to crowding and limb lengths, in correlation.
    pub body_penalty_ratio: f64,
    /// Distance from the predicted place over its standard deviation.
    pub innovation_ratio: f64,
    /// The most that a limb is longer or shorter than it was, over what it varies by itself.
    pub limb_strain_ratio: f64,
    /// Standard deviation that the drift since the user placed it has left.
    pub drift_px: f64,
    /// How long it went unseen not long ago: one for ten frames just now.
    pub gap_ratio: f64,
    /// Distance from where its neighbours carry it, over what is usual for them.
    pub neighbour_residual_ratio: f64,
    /// How little is known of its motion since the user placed it where it had not been followed: one just then.
    pub unknown_motion_ratio: f64,
    /// Share of its neighbours that are not seen.
    pub isolation_ratio: f64,
    /// For how many tens of frames it has not been seen.
    pub unseen_ratio: f64,
    /// Standard deviation of where it coasts.
    pub spread_px: f64,
}

/// How many features there are.
///
/// Exact: the fields of [`Features`].
const COUNT: usize = 11;

impl Features {
    /// Its numbers in the order of its fields.
    #[must_use]
    pub fn numbers(&self) -> [f64; COUNT] {
        [
            self.decorrelation_ratio,
            self.body_penalty_ratio,
            self.innovation_ratio,
            self.limb_strain_ratio,
            self.drift_px,
            self.gap_ratio,
            self.neighbour_residual_ratio,
            self.unknown_motion_ratio,
            self.isolation_ratio,
            self.unseen_ratio,
            self.spread_px,
        ]
    }
}

/// How a place came about: each has its own weights.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Provenance {
    /// A sticker was found: it looks the same wherever it goes.
    Sticker,
    /// Skin or cloth was found: errors come by drifting.
    Skin,
    /// Nothing was found.
    Unseen,
}

/// The most that each feature counts.
///
/// Chosen: beyond these values samples are rare; by trial, no record. `fit_certainty.py` has the same.
const LIMITS: [f64; COUNT] = [0.5, 0.6, 4.0, 4.0, 2.0, 1.0, 4.0, 1.0, 1.0, 1.0, 20.0];

/// A logistic regression.
struct Regression {
    /// What is added to the sum of weight times feature.
    base: f64,
    weights: [f64; COUNT],
}

/// Of stickers that were found.
///
/// Chosen: fitted by `tests/evaluation/fit_certainty.py`; see the head of this file.
const STICKER: Regression = Regression {
    base: -16.498,
    weights: [10.645, 0.0, 0.418, 5.764, 0.0, 6.503, 3.086, 1.082, 11.843, 0.0, 0.0],
};
/// Of skin and cloth that were found.
///
/// Chosen: fitted by `tests/evaluation/fit_certainty.py`; see the head of this file.
const SKIN: Regression = Regression {
    base: -12.379,
    weights: [13.939, 0.0, 0.038, 3.155, 1.925, 2.052, 2.398, 3.725, 6.510, 0.0, 0.0],
};
/// Of markers that were not found.
///
/// Chosen: fitted by `tests/evaluation/fit_certainty.py`; see the head of this file.
const UNSEEN: Regression = Regression {
    base: -2.674,
    weights: [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 2.488, 1.265, 0.226],
};

/// How certain a place is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Verdict {
    pub state: State,
    /// Probability of being more than 6 px off.
    pub p_wrong: f64,
}

/// State and probability of being more than 6 px off: the logistic function of base and sum of weight times feature, each
/// feature up to its limit.
pub(super) fn judge(provenance: Provenance, features: &Features, unseen: u32) -> Verdict {
    let Regression { base, weights } = match provenance {
        Provenance::Sticker => STICKER,
        Provenance::Skin => SKIN,
        Provenance::Unseen => UNSEEN,
    };
    let mut numbers = features.numbers();
    numbers.iter_mut().zip(LIMITS).for_each(|(n, limit)| *n = n.min(limit));
    if provenance != Provenance::Unseen {
        numbers = shaped(numbers);
    }
    let parts = numbers.into_iter().zip(weights).map(|(n, weight)| weight * n);
    let p_wrong = logistic(base + parts.sum::<f64>());
    let state = match provenance {
        Provenance::Unseen if unseen > LONGEST_COAST_FRAMES => State::Lost,
        Provenance::Unseen => State::Coasting,
        Provenance::Sticker | Provenance::Skin if p_wrong > DOUBTFUL => State::Doubtful,
        _ => State::Seen,
    };
    Verdict { state, p_wrong }
}

/// The features of what was found as they are weighed.
///
/// A little decorrelation, a short distance and one neighbour unseen say next to nothing, so that these count by their
/// squares; the first pixels of strain say most, and a gap long ago still much, so that these count by their roots.
fn shaped(numbers: [f64; COUNT]) -> [f64; COUNT] {
    let [
        decorrelation,
        penalty,
        innovation,
        strain,
        drift,
        gap,
        residual,
        unknown,
        isolation,
        unseen,
        spread,
    ] = numbers;
    let [decorrelation, penalty, innovation, isolation] =
        [decorrelation, penalty, innovation, isolation].map(|n| n * n);
    let [strain, gap, residual] = [strain, gap, residual].map(f64::sqrt);
    [
        decorrelation,
        penalty,
        innovation,
        strain,
        drift,
        gap,
        residual,
        unknown,
        isolation,
        unseen,
        spread,
    ]
}

/// `1 / (1 + exp(-z))`.
pub(super) fn logistic(z: f64) -> f64 {
    1.0 / (1.0 + exponential(-z))
}

/// The largest exponent.
///
/// Chosen: its power is 5e8, beyond which a probability is one.
const MOST_EXPONENT: f64 = 20.0;
/// How often a product is squared in [`exponential`].
///
/// Chosen: so that it falls short of `exp(x)` by `x^2 / 2048`.
const SQUARINGS: u32 = 10;

/// `(1 + x / 1024)^1024`, which is `exp(x)` but for a few per cent, by products that every machine rounds alike.
fn exponential(x: f64) -> f64 {
    let mut power = 1.0 + x.clamp(-MOST_EXPONENT, MOST_EXPONENT) / f64::from(1_u32 << SQUARINGS);
    for _ in 0..SQUARINGS {
        power *= power;
    }
    power
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_exponential_is_that_of_the_library_within_two_per_cent() {
        for x in [-5.0, -2.0, -0.5, 0.0, 1.0, 3.0, 6.0_f64] {
            // The product falls short of exp(x) by x^2 / 2048.
            assert!((exponential(x) / x.exp() - 1.0).abs() < 0.02, "{x}");
        }
    }

    #[test]
    fn every_feature_makes_a_place_less_certain_and_nothing_odd_is_certain() {
        let calm = Features {
            decorrelation_ratio: 0.05,
            limb_strain_ratio: 0.5,
            drift_px: 0.3,
            ..Features::default()
        };
        let both = [
            Features { limb_strain_ratio: 3.0, ..calm },
            Features { gap_ratio: 0.8, ..calm },
            Features { isolation_ratio: 1.0, ..calm },
        ];
        let [unknown, drift] =
            [Features { unknown_motion_ratio: 1.0, ..calm }, Features { drift_px: 1.5, ..calm }];
        let decorrelated = Features { decorrelation_ratio: 0.4, ..calm };
        let away = Features { innovation_ratio: 3.0, ..calm };
        let residual = Features { neighbour_residual_ratio: 3.0, ..calm };
        // By provenance: what makes a place three times as likely off, and what says less, down to next to nothing.
        let sticker =
            (Provenance::Sticker, vec![decorrelated, away, residual], vec![(unknown, 1.75)]);
        let skin =
            (Provenance::Skin, vec![residual, decorrelated, unknown, drift], vec![(away, 1.0)]);
        for (provenance, much, some) in [sticker, skin] {
            let Verdict { state, p_wrong: low } = judge(provenance, &calm, 0);
            assert!(low < 0.01 && state == State::Seen, "{provenance:?} {low}");
            for one in both.iter().chain(&much) {
                assert!(judge(provenance, one, 0).p_wrong > 3.0 * low, "{provenance:?} {one:?}");
            }
            for (one, times) in &some {
                assert!(judge(provenance, one, 0).p_wrong > times * low, "{provenance:?} {one:?}");
            }
            let odd = Features { limb_strain_ratio: 3.0, gap_ratio: 0.9, drift_px: 1.5, ..both[2] };
            let Verdict { state, p_wrong: high } = judge(provenance, &odd, 0);
            assert!(high > 0.5 && state == State::Doubtful, "{provenance:?} {high}");
        }
    }

    #[test]
    fn a_coasting_marker_is_less_and_less_certain_and_lost_in_the_end() {
        let features = |frames: u32| Features {
            unseen_ratio: f64::from(frames) / 10.0,
            spread_px: 2.0 + f64::from(frames),
            ..Features::default()
        };
        let verdicts: Vec<Verdict> =
            (1..=21).map(|n| judge(Provenance::Unseen, &features(n), n)).collect();
        assert!(verdicts.windows(2).all(|w| w[1].p_wrong >= w[0].p_wrong), "{verdicts:?}");
        assert_eq!(verdicts[19].state, State::Coasting);
        assert_eq!(verdicts[20].state, State::Lost);
    }
}
