//! Places drawn to where the limbs have their lengths.

use super::Body;
use crate::image::Pixel;
use crate::track::look::Candidate;

/// Chosen: by how much a limb's length in the picture varies, in pixels and as a share of it.
const GIVE_PX: f64 = 0.5;
const GIVE: f64 = 0.03;
/// Chosen: the same, in pixels, for a marker that is not seen: its neighbours are all that is known.
const UNSEEN_GIVE_PX: f64 = 1.5;
/// Chosen: variance of the best held place, so that no place is taken for exact.
const LEAST_DRIFT_PX2: f64 = 0.25;
/// Chosen: the least that a picture holds a place any way, in one over squared pixels: 7 px.
const LEAST_HOLD: f64 = 0.02;
/// Chosen: the furthest a limb draws a place; further off it is the limb that is wrong.
const FURTHEST_PX: f64 = 6.0;

/// Chosen: standard deviation of the place of a marker that is surely off.
const DOUBTED_PX: f64 = 25.0;

/// A limb to a neighbour.
struct Spring {
    end: Pixel,
    length_px: f64,
    /// Of the length, and of the end along the limb.
    variance_px2: f64,
}

impl Body {
    /// Draws the places that their pictures hold weakly to where the limbs have their lengths.
    ///
    /// For each marker of skin or cloth minimises `(p - m)^T H (p - m) + sum (|p - n| - length)^2 / give^2`, `m`
    /// the place found, `H` how firmly its picture holds it, `n` the neighbours, `give^2` the variance of the
    /// limb's length and of the neighbour's place; two rounds over all markers.
    pub fn relax(&self, chosen: &mut [Option<Candidate>]) {
        let found: Vec<Option<Candidate>> = chosen.to_vec();
        for _ in 0..2 {
            for (marker, own) in found.iter().enumerate() {
                let Some(own) = own.filter(Candidate::is_soft) else { continue };
                let now = chosen.get(marker).copied().flatten().map_or(own.at, |c| c.at);
                let at = self.drawn(marker, (&own, now), chosen);
                if let Some(Some(candidate)) = chosen.get_mut(marker) {
                    candidate.at = at;
                }
            }
        }
    }

    fn drawn(
        &self,
        marker: usize,
        (own, now): (&Candidate, Pixel),
        chosen: &[Option<Candidate>],
    ) -> Pixel {
        let [xx, xy, yy] = own.soft.hold_per_px2;
        let drift = 1.0 / (own.soft.drift_px2 + LEAST_DRIFT_PX2);
        let hold = tempered([xx + LEAST_HOLD, xy, yy + LEAST_HOLD], drift);
        let springs: Vec<Spring> = self
            .neighbours(marker)
            .filter_map(|(index, length_px)| {
                let other = chosen.get(index).copied().flatten()?;
                let give = GIVE_PX + GIVE * length_px;
                let (dx, dy) = now.from(other.at);
                let distance = (dx * dx + dy * dy).sqrt().max(1.0);
                let spread = spread_along(&other, (dx / distance, dy / distance));
                let variance_px2 = give * give + spread + self.doubt_px2(index);
                Some(Spring { end: other.at, length_px, variance_px2 })
            })
            .collect();
        let at = settle(now, (own.at, hold), &springs, 3);
        if at.distance_px(own.at) < FURTHEST_PX { at } else { own.at }
    }

    /// The most that a limb of a marker is longer or shorter than it was, over what it varies by itself.
    pub fn strain(&self, marker: usize, at: Pixel, places: &[Option<Pixel>]) -> f64 {
        self.neighbours(marker)
            .filter_map(|(other, length_px)| {
                let end = places.get(other).copied().flatten()?;
                let miss = (at.distance_px(end) - length_px).abs();
                Some(miss / (1.0 + GIVE * length_px))
            })
            .fold(0.0, f64::max)
    }

    /// What a neighbour's doubt adds to the variance of where it is.
    pub(super) fn doubt_px2(&self, marker: usize) -> f64 {
        let doubt = DOUBTED_PX * self.doubts.get(marker).copied().unwrap_or(0.0);
        doubt * doubt
    }

    /// Where an unseen marker must be from where its neighbours are: nearest to `expected`, of so much variance,
    /// at the limbs' lengths.
    pub fn held(
        &self,
        marker: usize,
        (expected, variance_px2): (Pixel, f64),
        places: &[Option<Pixel>],
    ) -> Pixel {
        let springs: Vec<Spring> = self
            .neighbours(marker)
            .filter_map(|(other, length_px)| {
                let give = UNSEEN_GIVE_PX + GIVE * length_px;
                let end = places.get(other).copied().flatten()?;
                let variance_px2 = give * give + self.doubt_px2(other);
                Some(Spring { end, length_px, variance_px2 })
            })
            .collect();
        let own = 1.0 / variance_px2.max(LEAST_DRIFT_PX2);
        settle(expected, (expected, [own, 0.0, own]), &springs, 6)
    }
}

/// Gauss-Newton from `at` over the square of the way from a place, weighed by how it is held, and the squares
/// of what the springs are off.
fn settle(
    mut at: Pixel,
    (place, hold): (Pixel, [f64; 3]),
    springs: &[Spring],
    rounds: usize,
) -> Pixel {
    for _ in 0..rounds {
        let (wx, wy) = place.from(at);
        let [mut xx, mut xy, mut yy] = hold;
        let (mut bx, mut by) = (xx * wx + xy * wy, xy * wx + yy * wy);
        for spring in springs {
            let (dx, dy) = at.from(spring.end);
            let distance = (dx * dx + dy * dy).sqrt().max(1.0);
            let (ux, uy) = (dx / distance, dy / distance);
            let weight = 1.0 / spring.variance_px2;
            let miss = spring.length_px - distance;
            xx += weight * ux * ux;
            xy += weight * ux * uy;
            yy += weight * uy * uy;
            bx += weight * miss * ux;
            by += weight * miss * uy;
        }
        let determinant = xx * yy - xy * xy;
        at = at.moved((yy * bx - xy * by) / determinant, (xx * by - xy * bx) / determinant);
    }
    at
}

/// Variance of a place along a direction of length one.
fn spread_along(candidate: &Candidate, (ux, uy): (f64, f64)) -> f64 {
    if !candidate.is_soft() {
        return 0.0;
    }
    let [xx, xy, yy] = candidate.soft.hold_per_px2;
    let (xx, yy) = (xx + LEAST_HOLD, yy + LEAST_HOLD);
    let determinant = xx * yy - xy * xy;
    candidate.soft.drift_px2 + (yy * ux * ux - 2.0 * xy * ux * uy + xx * uy * uy) / determinant
}

/// How firmly a place is held when its own drift, one over a variance, comes to it: `(H^-1 + drift^-1)^-1`.
fn tempered([xx, xy, yy]: [f64; 3], drift: f64) -> [f64; 3] {
    // (H^-1 + 1/d)^-1 = d H (H + d)^-1, and H commutes with (H + d).
    let (a, c) = (xx + drift, yy + drift);
    let determinant = a * c - xy * xy;
    [
        drift * (xx * c - xy * xy) / determinant,
        drift * (xy * a - xx * xy) / determinant,
        drift * (yy * a - xy * xy) / determinant,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::track::limb::Limb;

    fn pixel(x_px: f64, y_px: f64) -> Pixel {
        Pixel { x_px, y_px }
    }

    #[test]
    fn an_unseen_marker_keeps_the_length_of_its_limb() {
        let limbs = [Limb::between(0, 1)];
        let body = Body::new(&limbs, vec![Some(pixel(0.0, 0.0)), Some(pixel(0.0, 40.0))]);
        // The limb swung, and the guess is 10 px too far out.
        let at = body.held(1, (pixel(30.0, 40.0), 400.0), &[Some(pixel(0.0, 0.0)), None]);
        let length = at.distance_px(pixel(0.0, 0.0));
        assert!((length - 40.0).abs() < 0.5, "{at:?}");
        assert!((at.x_px / at.y_px - 0.75).abs() < 0.01, "{at:?}");
    }

    #[test]
    fn the_inverse_of_what_is_tempered_is_the_sum_of_both_inverses() {
        let ([xx, xy, yy], drift) = ([3.0, 0.7, 0.9], 2.0);
        let determinant = xx * yy - xy * xy;
        let sum = [yy / determinant + 0.5, -xy / determinant, xx / determinant + 0.5];
        let whole = sum[0] * sum[2] - sum[1] * sum[1];
        let plain = [sum[2] / whole, -sum[1] / whole, sum[0] / whole];
        for (a, b) in tempered([xx, xy, yy], drift).iter().zip(plain) {
            assert!((a - b).abs() < 1e-12, "{a} {b}");
        }
    }
}
