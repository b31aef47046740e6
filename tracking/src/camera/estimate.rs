//! The similarity most places agree on, whatever the rest do.

use super::Similarity;
use crate::image::Pixel;

/// Chosen: a place that misses by more takes no part; ten times what flow on a wall misses by.
const OUTLIER_PX: f64 = 1.0;
/// Chosen: so many places that agree are no chance.
pub(super) const LEAST_AGREEING: usize = 6;
/// Chosen: no place is known better along an axis, however well a few happen to agree.
const LEAST_ERROR_PX: f64 = 0.025;
/// Rounds of weighing anew.
const ROUNDS: usize = 8;

/// What most places agree on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Agreed {
    pub similarity: Similarity,
    /// Root mean square miss of those that agree.
    pub residual_px: f64,
    pub agreeing: usize,
    /// Mean place of those that agree, and the sum of their squared ways from it.
    middle: Pixel,
    spread_px2: f64,
}

impl Agreed {
    /// Standard error of where a place goes, along one axis.
    ///
    /// By least squares of `n` places that miss by `v` along each axis, `v = sum miss^2 / (2 n - 4)` as four numbers
    /// are fitted to `2 n`: the mean place has `v / n`, and turn and scale, each with `v / spread`, add
    /// `v way^2 / spread` at a way from it.
    pub fn error_px(&self, at: Pixel) -> f64 {
        let n = self.agreeing as f64;
        let square = self.residual_px * self.residual_px * n / (2.0 * n - 4.0).max(1.0);
        let variance = square.max(LEAST_ERROR_PX * LEAST_ERROR_PX);
        let way_px = self.middle.distance_px(at);
        (variance * (1.0 / n + way_px * way_px / self.spread_px2.max(1.0))).sqrt()
    }

    /// Mean place of those that agree.
    pub fn middle(&self) -> Pixel {
        self.middle
    }
}

/// The similarity that most pairs agree on; `None` where fewer than six do.
///
/// Every two places that are far apart give one similarity; that with most places within the limit is
/// taken, as in RANSAC (Fischler & Bolles 1981, Commun. ACM 24:381-395) but with all pairs in order in
/// place of chance. Then least squares, weighed anew by the biweight `(1 - (r / limit)^2)^2` (Beaton &
/// Tukey 1974, Technometrics 16:147-185).
pub(super) fn agreed(pairs: &[(Pixel, Pixel)], apart_px: f64) -> Option<Agreed> {
    let miss = |s: &Similarity, (p, q): &(Pixel, Pixel)| s.of(*p).distance_px(*q);
    let support =
        |s: &Similarity| pairs.iter().filter(|pair| miss(s, pair) < 2.0 * OUTLIER_PX).count();
    let mut best: Option<(usize, Similarity)> = None;
    for (i, a) in pairs.iter().enumerate() {
        for b in pairs.iter().skip(i + 1).filter(|b| a.0.distance_px(b.0) > apart_px) {
            let Some(one) = Similarity::fitting(&[*a, *b], &[1.0, 1.0]) else { continue };
            let count = support(&one);
            if best.is_none_or(|(most, _)| count > most) {
                best = Some((count, one));
            }
        }
    }
    let (_, mut similarity) = best?;
    let mut limit_px = 2.0 * OUTLIER_PX;
    for _ in 0..ROUNDS {
        let weight = |pair: &(Pixel, Pixel)| {
            let r = miss(&similarity, pair) / limit_px;
            if r < 1.0 { (1.0 - r * r) * (1.0 - r * r) } else { 0.0 }
        };
        let weights: Vec<f64> = pairs.iter().map(weight).collect();
        similarity = Similarity::fitting(pairs, &weights)?;
        limit_px = OUTLIER_PX;
    }
    let inside: Vec<_> = pairs.iter().filter(|p| miss(&similarity, p) < OUTLIER_PX).collect();
    let n = inside.len() as f64;
    let mean = |f: &dyn Fn(&(Pixel, Pixel)) -> f64| inside.iter().map(|p| f(p)).sum::<f64>() / n;
    let middle = Pixel { x_px: mean(&|(p, _)| p.x_px), y_px: mean(&|(p, _)| p.y_px) };
    let way2 = |(p, _): &(Pixel, Pixel)| p.distance_px(middle) * p.distance_px(middle);
    (inside.len() >= LEAST_AGREEING).then(|| Agreed {
        similarity,
        residual_px: mean(&|pair| miss(&similarity, pair) * miss(&similarity, pair)).sqrt(),
        agreeing: inside.len(),
        middle,
        spread_px2: n * mean(&way2),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_third_that_goes_its_own_way_changes_nothing() {
        let truth = Similarity { cosine_ratio: 0.999, sine_ratio: 0.004, x_px: 6.0, y_px: -2.0 };
        let pairs: Vec<(Pixel, Pixel)> = (0..30)
            .map(|k| {
                let p = Pixel { x_px: f64::from(211 * k % 1280), y_px: f64::from(97 * k % 720) };
                // Every third place moves on its own with the others of its kind, as a passer-by does.
                let q = truth.of(p);
                (p, if k % 3 == 0 { q.moved(9.0, 4.0) } else { q })
            })
            .collect();
        let found = agreed(&pairs, 100.0).unwrap();
        assert_eq!(found.agreeing, 20);
        for (p, _) in &pairs {
            assert!(found.similarity.of(*p).distance_px(truth.of(*p)) < 1e-6);
        }
    }

    #[test]
    fn places_that_agree_on_nothing_give_nothing() {
        let scattered = |k: i32| Pixel {
            x_px: f64::from(k * k * 37 % 900),
            y_px: f64::from(k * k * k * 11 % 700),
        };
        let pairs: Vec<(Pixel, Pixel)> = (1..9)
            .map(|k| {
                (Pixel { x_px: f64::from(150 * k), y_px: f64::from(80 * k % 300) }, scattered(k))
            })
            .collect();
        assert_eq!(agreed(&pairs, 100.0), None);
    }
}
