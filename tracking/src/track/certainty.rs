//! How sure a place is.

use super::sample::{DOUBT, State};

/// What tells that a place may be off, each from zero up.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Signs {
    /// What its correlation lacks to one.
    pub lack_ratio: f64,
    /// The merit it lost to the rest of the body.
    pub blame_ratio: f64,
    /// Distance from the expected place over its standard deviation.
    pub away_ratio: f64,
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
    /// Share of its neighbours that are not seen.
    pub alone_ratio: f64,
    /// For how many tens of frames it has not been seen.
    pub unseen_ratio: f64,
    /// Standard deviation of where it is carried unseen.
    pub spread_px: f64,
}

/// How many signs there are.
const COUNT: usize = 11;

impl Signs {
    /// Its numbers in the order of its fields.
    #[must_use]
    pub fn numbers(&self) -> [f64; COUNT] {
        [
            self.lack_ratio,
            self.blame_ratio,
            self.away_ratio,
            self.strain_ratio,
            self.drift_px,
            self.gap_ratio,
            self.torn_ratio,
            self.unknown_ratio,
            self.alone_ratio,
            self.unseen_ratio,
            self.spread_px,
        ]
    }
}

/// How a place came about: each way has its own weights.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// A sticker was found: it looks the same wherever it goes.
    Sticker,
    /// Skin or cloth was found: errors come by drifting.
    Soft,
    /// Nothing was found.
    Unseen,
}

/// The most that is made of each sign.
const LIMITS: [f64; COUNT] = [0.5, 0.6, 4.0, 4.0, 2.0, 1.0, 4.0, 1.0, 1.0, 1.0, 20.0];

/// What is added to the sum of weight times sign, and the weights.
///
/// Chosen: fitted by `tests/benchmarks/fit_certainty.py` (logistic regression over samples of rendered clips, skin and
/// stickers at 30 to 240 frames/s; passes left alone count a quarter of passes that are corrected).
const STICKER: (f64, [f64; COUNT]) =
    (-16.498, [10.645, 0.0, 0.418, 5.764, 0.0, 6.503, 3.086, 1.082, 11.843, 0.0, 0.0]);
const SOFT: (f64, [f64; COUNT]) =
    (-12.379, [13.939, 0.0, 0.038, 3.155, 1.925, 2.052, 2.398, 3.725, 6.510, 0.0, 0.0]);
const UNSEEN: (f64, [f64; COUNT]) =
    (-2.674, [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 2.488, 1.265, 0.226]);

/// Frames a marker may go on unseen before its place means nothing.
const LONGEST_COAST: u32 = 20;

/// State and probability of being more than 6 px off: the chance of base and sum of weight times sign, each sign up
/// to its limit.
pub(super) fn judged(way: Way, signs: &Signs, unseen: u32) -> (State, f64) {
    let (base, weights) = match way {
        Way::Sticker => STICKER,
        Way::Soft => SOFT,
        Way::Unseen => UNSEEN,
    };
    let mut numbers = signs.numbers();
    numbers.iter_mut().zip(LIMITS).for_each(|(n, limit)| *n = n.min(limit));
    if way != Way::Unseen {
        numbers = shaped(numbers);
    }
    let parts = numbers.into_iter().zip(weights).map(|(n, weight)| weight * n);
    let p_wrong = chance(base + parts.sum::<f64>());
    let state = match way {
        Way::Unseen if unseen > LONGEST_COAST => State::Lost,
        Way::Unseen => State::Coasting,
        Way::Sticker | Way::Soft if p_wrong > DOUBT => State::Doubtful,
        _ => State::Seen,
    };
    (state, p_wrong)
}

/// The signs of what is found as they are weighed: a little lack of correlation, a short way and one neighbour unseen
/// say next to nothing, so that these count by their squares; the first pixels of strain say most, and a gap long ago
/// still much, so that these count by their roots.
fn shaped(numbers: [f64; COUNT]) -> [f64; COUNT] {
    let [lack, blame, away, strain, drift, gap, torn, unknown, alone, unseen, spread] = numbers;
    let [lack, blame, away, alone] = [lack, blame, away, alone].map(|n| n * n);
    let [strain, gap, torn] = [strain, gap, torn].map(f64::sqrt);
    [lack, blame, away, strain, drift, gap, torn, unknown, alone, unseen, spread]
}

/// `1 / (1 + exp(-z))`.
pub(super) fn chance(z: f64) -> f64 {
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
    fn every_sign_makes_a_place_less_sure_and_nothing_odd_is_sure() {
        let calm = Signs { lack_ratio: 0.05, strain_ratio: 0.5, drift_px: 0.3, ..Signs::default() };
        let both = [
            Signs { strain_ratio: 3.0, ..calm },
            Signs { gap_ratio: 0.8, ..calm },
            Signs { alone_ratio: 1.0, ..calm },
        ];
        let [unknown, drift] =
            [Signs { unknown_ratio: 1.0, ..calm }, Signs { drift_px: 1.5, ..calm }];
        let (lack, away) = (Signs { lack_ratio: 0.4, ..calm }, Signs { away_ratio: 3.0, ..calm });
        let torn = Signs { torn_ratio: 3.0, ..calm };
        // By way: what makes a place three times as likely off, and what says less, down to next to nothing.
        let sticker = (Way::Sticker, vec![lack, away, torn], vec![(unknown, 1.75)]);
        let soft = (Way::Soft, vec![torn, lack, unknown, drift], vec![(away, 1.0)]);
        for (way, much, some) in [sticker, soft] {
            let (state, low) = judged(way, &calm, 0);
            assert!(low < 0.01 && state == State::Seen, "{way:?} {low}");
            for one in both.iter().chain(&much) {
                assert!(judged(way, one, 0).1 > 3.0 * low, "{way:?} {one:?}");
            }
            for (one, times) in &some {
                assert!(judged(way, one, 0).1 > times * low, "{way:?} {one:?}");
            }
            let odd = Signs { strain_ratio: 3.0, gap_ratio: 0.9, drift_px: 1.5, ..both[2] };
            let (state, high) = judged(way, &odd, 0);
            assert!(high > 0.5 && state == State::Doubtful, "{way:?} {high}");
        }
    }

    #[test]
    fn a_marker_that_goes_on_unseen_is_less_and_less_sure_and_lost_in_the_end() {
        let signs = |frames: u32| Signs {
            unseen_ratio: f64::from(frames) / 10.0,
            spread_px: 2.0 + f64::from(frames),
            ..Signs::default()
        };
        let told: Vec<(State, f64)> = (1..=21).map(|n| judged(Way::Unseen, &signs(n), n)).collect();
        assert!(told.windows(2).all(|w| w[1].1 >= w[0].1), "{told:?}");
        assert_eq!(told[19].0, State::Coasting);
        assert_eq!(told[20].0, State::Lost);
    }
}
