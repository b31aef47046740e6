//! The similarity that most places agree on, whatever the rest do.

use super::similarity::{Correspondence, Similarity};
use crate::image::ImagePoint;

/// A place that misses by more takes no part.
///
/// Chosen: ten times what flow on a wall misses by.
const OUTLIER_PX: f64 = 1.0;
/// Fewest places that agree.
///
/// Chosen: six that agree are no chance.
pub(super) const LEAST_AGREEING: usize = 6;
/// No place is known better along an axis.
///
/// Chosen: however well a few happen to agree; by trial on the worked clips, no record.
const LEAST_ERROR_PX: f64 = 0.025;
/// Rounds of reweighting.
///
/// Chosen: fits that settle do so in fewer; by trial on the worked clips, no record.
const ROUNDS: usize = 8;
/// The first round, and the search before it, forgive so many times [`OUTLIER_PX`].
///
/// Chosen: two places fix a similarity less well than all do; by trial on the worked clips, no record.
const FIRST_ROUND: f64 = 2.0;
/// Numbers of a similarity.
///
/// Exact.
const PARAMETERS: f64 = 4.0;

/// A similarity that most places agree on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Agreed {
    pub similarity: Similarity,
    /// Root mean square miss of the places that agree.
    pub residual_px: f64,
    pub agreeing: usize,
    /// Their mean.
    mean: ImagePoint,
    /// The sum of their squared distances from it.
    spread_px2: f64,
}

impl Agreed {
    /// Standard error of where a place goes, along one axis.
    ///
    /// By least squares of `n` places with the variance `v = sum miss^2 / (2 n - 4)` along each axis, as four numbers are
    /// fitted to `2 n`: the mean place has `v / n`, and rotation and scale, each with `v / spread`, add
    /// `v d^2 / spread` at a distance `d` from it.
    pub fn error_px(&self, at: ImagePoint) -> f64 {
        let n = self.agreeing as f64;
        let square = self.residual_px * self.residual_px * n / (2.0 * n - PARAMETERS).max(1.0);
        let variance = square.max(LEAST_ERROR_PX * LEAST_ERROR_PX);
        let away_px = self.mean.distance_px(at);
        (variance * (1.0 / n + away_px * away_px / self.spread_px2.max(1.0))).sqrt()
    }

    /// Mean of the places that agree.
    pub fn mean(&self) -> ImagePoint {
        self.mean
    }
}

/// The similarity that most correspondences agree on; `None` if fewer than six do.
///
/// Every two places that are far apart give one similarity; the one with most places within the limit is taken, as in RANSAC
/// (Fischler & Bolles 1981, Commun. ACM 24:381-395) but with all pairs in order instead of random ones. Then least squares,
/// reweighted by the biweight `(1 - (r / limit)^2)^2` (Beaton & Tukey 1974, Technometrics 16:147-185).
pub(super) fn agreed(pairs: &[Correspondence], apart_px: f64) -> Option<Agreed> {
    let miss = |s: &Similarity, c: &Correspondence| s.apply(c.from).distance_px(c.to);
    let support = |s: &Similarity| {
        pairs.iter().filter(|pair| miss(s, pair) < FIRST_ROUND * OUTLIER_PX).count()
    };
    let mut best: Option<(usize, Similarity)> = None;
    for (i, a) in pairs.iter().enumerate() {
        for b in pairs.iter().skip(i + 1).filter(|b| a.from.distance_px(b.from) > apart_px) {
            let Some(one) = Similarity::fitting(&[*a, *b], &[1.0, 1.0]) else { continue };
            let count = support(&one);
            if best.is_none_or(|(most, _)| count > most) {
                best = Some((count, one));
            }
        }
    }
    let (_, mut similarity) = best?;
    let mut limit_px = FIRST_ROUND * OUTLIER_PX;
    for _ in 0..ROUNDS {
        let weight = |pair: &Correspondence| {
            let r = miss(&similarity, pair) / limit_px;
            if r < 1.0 { (1.0 - r * r) * (1.0 - r * r) } else { 0.0 }
        };
        let weights: Vec<f64> = pairs.iter().map(weight).collect();
        similarity = Similarity::fitting(pairs, &weights)?;
        limit_px = OUTLIER_PX;
    }
    let inside: Vec<_> = pairs.iter().filter(|p| miss(&similarity, p) < OUTLIER_PX).collect();
    let n = inside.len() as f64;
    let mean = |f: &dyn Fn(&Correspondence) -> f64| inside.iter().map(|p| f(p)).sum::<f64>() / n;
    let centre = ImagePoint { x_px: mean(&|c| c.from.x_px), y_px: mean(&|c| c.from.y_px) };
    let square_px2 = |c: &Correspondence| c.from.distance_px(centre) * c.from.distance_px(centre);
    (inside.len() >= LEAST_AGREEING).then(|| Agreed {
        similarity,
        residual_px: mean(&|pair| miss(&similarity, pair) * miss(&similarity, pair)).sqrt(),
        agreeing: inside.len(),
        mean: centre,
        spread_px2: n * mean(&square_px2),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_third_of_outliers_changes_nothing() {
        let truth = Similarity { cosine_ratio: 0.999, sine_ratio: 0.004, x_px: 6.0, y_px: -2.0 };
        let pair = |k: i32| {
            let from =
                ImagePoint { x_px: f64::from(211 * k % 1280), y_px: f64::from(97 * k % 720) };
            // Every third place moves on its own with the others of its kind, as a passer-by does.
            let to = truth.apply(from);
            Correspondence { from, to: if k % 3 == 0 { to.moved(9.0, 4.0) } else { to } }
        };
        let pairs: Vec<Correspondence> = (0..30).map(pair).collect();
        let found = agreed(&pairs, 100.0).unwrap();
        assert_eq!(found.agreeing, 20);
        for Correspondence { from, .. } in &pairs {
            assert!(found.similarity.apply(*from).distance_px(truth.apply(*from)) < 1e-6);
        }
    }

    #[test]
    fn places_without_a_common_motion_give_none() {
        let scattered = |k: i32| ImagePoint {
            x_px: f64::from(k * k * 37 % 900),
            y_px: f64::from(k * k * k * 11 % 700),
        };
        let pair = |k: i32| {
            let from = ImagePoint { x_px: f64::from(150 * k), y_px: f64::from(80 * k % 300) };
            Correspondence { from, to: scattered(k) }
        };
        let pairs: Vec<Correspondence> = (1..9).map(pair).collect();
        assert_eq!(agreed(&pairs, 100.0), None);
    }
}
