//! A similarity of the plane: translation, rotation and scale.

use crate::image::ImagePoint;

/// A place in one picture and the same thing in another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Correspondence {
    /// In the one picture.
    pub from: ImagePoint,
    /// In the other.
    pub to: ImagePoint,
}

/// `p' = (a x - b y + x0, b x + a y + y0)` with `a = scale cos(rotation)`, `b = scale sin(rotation)`.
///
/// Four numbers that need nothing but sums and products, so that every machine computes the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Similarity {
    /// `scale cos(rotation)`.
    pub cosine_ratio: f64,
    /// `scale sin(rotation)`.
    pub sine_ratio: f64,
    /// Where the first pixel goes, to the right.
    pub x_px: f64,
    /// Where the first pixel goes, down.
    pub y_px: f64,
}

impl Similarity {
    /// No motion.
    pub const STILL: Similarity =
        Similarity { cosine_ratio: 1.0, sine_ratio: 0.0, x_px: 0.0, y_px: 0.0 };

    /// Where a place goes.
    #[must_use]
    pub fn apply(&self, p: ImagePoint) -> ImagePoint {
        let (a, b) = (self.cosine_ratio, self.sine_ratio);
        ImagePoint {
            x_px: a * p.x_px - b * p.y_px + self.x_px,
            y_px: b * p.x_px + a * p.y_px + self.y_px,
        }
    }

    /// This one after another: `after(other).apply(p) = self.apply(other.apply(p))`.
    #[must_use]
    pub fn after(&self, other: &Similarity) -> Similarity {
        let (a, b) = (self.cosine_ratio, self.sine_ratio);
        let (c, d) = (other.cosine_ratio, other.sine_ratio);
        let origin = self.apply(ImagePoint { x_px: other.x_px, y_px: other.y_px });
        Similarity {
            cosine_ratio: a * c - b * d,
            sine_ratio: a * d + b * c,
            x_px: origin.x_px,
            y_px: origin.y_px,
        }
    }

    /// The inverse; of a similarity that shrinks the plane to a point it is no motion.
    #[must_use]
    pub fn inverse(&self) -> Similarity {
        let (a, b) = (self.cosine_ratio, self.sine_ratio);
        let square = a * a + b * b;
        if square <= 0.0 {
            return Self::STILL;
        }
        let (c, d) = (a / square, -b / square);
        Similarity {
            cosine_ratio: c,
            sine_ratio: d,
            x_px: -(c * self.x_px - d * self.y_px),
            y_px: -(d * self.x_px + c * self.y_px),
        }
    }

    /// The similarity of least weighted squares between places: with both means removed, `a = sum w (p . q) / sum w p^2`
    /// and `b = sum w (p x q) / sum w p^2`. `None` if fewer than two places weigh anything or all are one.
    #[must_use]
    pub(super) fn fitting(pairs: &[Correspondence], weights: &[f64]) -> Option<Similarity> {
        let both = || pairs.iter().zip(weights);
        let total: f64 = weights.iter().sum();
        let mean = |f: &dyn Fn(&Correspondence) -> f64| {
            both().map(|(pair, w)| w * f(pair)).sum::<f64>() / total
        };
        let p = (mean(&|c| c.from.x_px), mean(&|c| c.from.y_px));
        let q = (mean(&|c| c.to.x_px), mean(&|c| c.to.y_px));
        let (mut dot, mut cross, mut square) = (0.0, 0.0, 0.0);
        for (Correspondence { from, to }, w) in both() {
            let (px, py) = (from.x_px - p.0, from.y_px - p.1);
            let (qx, qy) = (to.x_px - q.0, to.y_px - q.1);
            dot += w * (px * qx + py * qy);
            cross += w * (px * qy - py * qx);
            square += w * (px * px + py * py);
        }
        let enough = total > 0.0 && square > total;
        if !enough {
            return None;
        }
        let (a, b) = (dot / square, cross / square);
        let (x_px, y_px) = (q.0 - (a * p.0 - b * p.1), q.1 - (b * p.0 + a * p.1));
        Some(Similarity { cosine_ratio: a, sine_ratio: b, x_px, y_px })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SOME: Similarity =
        Similarity { cosine_ratio: 1.01, sine_ratio: 0.02, x_px: 5.0, y_px: -3.0 };

    fn places() -> Vec<ImagePoint> {
        (0..12)
            .map(|k| ImagePoint { x_px: f64::from(97 * k % 640), y_px: f64::from(61 * k % 360) })
            .collect()
    }

    #[test]
    fn moved_places_give_the_similarity_back() {
        let pair = |p: &ImagePoint| Correspondence { from: *p, to: SOME.apply(*p) };
        let pairs: Vec<Correspondence> = places().iter().map(pair).collect();
        let found = Similarity::fitting(&pairs, &[1.0; 12]).unwrap();
        for p in places() {
            assert!(found.apply(p).distance_px(SOME.apply(p)) < 1e-9);
        }
    }

    #[test]
    fn there_and_back_is_no_motion() {
        for p in places() {
            assert!(SOME.inverse().after(&SOME).apply(p).distance_px(p) < 1e-9);
            assert!(SOME.after(&SOME).apply(p).distance_px(SOME.apply(SOME.apply(p))) < 1e-9);
        }
    }

    #[test]
    fn one_place_fits_nothing() {
        let p = ImagePoint { x_px: 3.0, y_px: 4.0 };
        let pair = Correspondence { from: p, to: p };
        assert_eq!(Similarity::fitting(&[pair, pair], &[1.0, 1.0]), None);
        assert_eq!(Similarity::fitting(&[], &[]), None);
    }
}
