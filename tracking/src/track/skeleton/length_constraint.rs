//! The length constraint: places drawn to where the limbs have their lengths.

use super::places::{Places, UncertainPlace, place_of};
use super::state::Skeleton;
use crate::image::ImagePoint;
use crate::scales::LIMB_REACH_PX;
use crate::track::candidate::{Candidate, SkinPose};

/// Standard deviation of a limb's length in the picture: in pixels, and as a share of it.
///
/// Chosen: by trial on the worked clips, no record; so are the next four.
const GIVE_PX: f64 = 0.5;
/// See [`GIVE_PX`].
///
/// Chosen: as it.
const GIVE_RATIO: f64 = 0.03;
/// The same, in pixels, for a marker that is not seen: its neighbours are all that is known.
///
/// Chosen: see [`GIVE_PX`].
const UNSEEN_GIVE_PX: f64 = 1.5;
/// Least variance of a place, so that none is taken for exact.
///
/// Chosen: half a pixel each way.
const LEAST_DRIFT_PX2: f64 = 0.25;
/// The least that a picture holds a place any way, in one over squared pixels.
///
/// Chosen: 7 px.
const LEAST_HOLD_PER_PX2: f64 = 0.02;
/// Change of a limb's length, in pixels, that strains it by one, beside [`GIVE_RATIO`] of its length.
///
/// Chosen: the error of its two marks.
const STRAIN_PX: f64 = 1.0;
/// Least distance of two ends as a divisor.
///
/// Chosen: nearer, a limb has no direction.
const LEAST_DISTANCE_PX: f64 = 1.0;
/// Rounds over all markers.
///
/// Chosen: for time; by trial on the worked clips, no record.
const ROUNDS: usize = 2;
/// Iterations of one place in each round.
///
/// Chosen: fits that settle do so in fewer; by trial on the worked clips, no record.
const SEEN_ITERATIONS: usize = 3;
/// Iterations of a place that is not seen.
///
/// Chosen: it begins further away.
const UNSEEN_ITERATIONS: usize = 6;

/// A limb to a neighbour.
struct Spring {
    end: ImagePoint,
    length_px: f64,
    /// Of the length, and of the end along the limb.
    variance_px2: f64,
}

/// A place and how firmly it is held, as xx, xy, yy of one over its variance.
struct HeldPlace {
    at: ImagePoint,
    per_px2: [f64; 3],
}

impl Skeleton {
    /// Draws the places that their pictures hold weakly to where the limbs have their lengths.
    ///
    /// For each marker of skin or cloth minimises `(p - m)^T H (p - m) + sum (|p - n| - length)^2 / give^2`, `m` the place
    /// found, `H` how firmly its picture holds it, `n` the neighbours, `give^2` the variance of the limb's length and of the
    /// neighbour's place; two rounds over all markers.
    pub fn relax(&self, chosen: &mut [Option<Candidate>]) {
        let found: Vec<Option<Candidate>> = chosen.to_vec();
        for _ in 0..ROUNDS {
            for (marker, own) in found.iter().enumerate() {
                let Some(own) = own else { continue };
                let Some(skin) = own.skin else { continue };
                let now = chosen.get(marker).copied().flatten().map_or(own.at, |c| c.at);
                let springs = self.springs(marker, now, chosen);
                let held = HeldPlace { at: own.at, per_px2: hold(&skin) };
                let at = settle(now, &held, &springs, SEEN_ITERATIONS);
                if let Some(Some(candidate)) = chosen.get_mut(marker) {
                    let is_near = at.distance_px(own.at) < LIMB_REACH_PX;
                    candidate.at = if is_near { at } else { own.at };
                }
            }
        }
    }

    /// The limbs from a place to the neighbours that were found.
    fn springs(&self, marker: usize, now: ImagePoint, chosen: &[Option<Candidate>]) -> Vec<Spring> {
        self.neighbours(marker)
            .filter_map(|other| {
                let end = chosen.get(other.marker).copied().flatten()?;
                let give = GIVE_PX + GIVE_RATIO * other.length_px;
                let (dx, dy) = now.minus(end.at);
                let distance = (dx * dx + dy * dy).sqrt().max(LEAST_DISTANCE_PX);
                let spread = variance_along(&end, (dx / distance, dy / distance));
                let variance_px2 = give * give + spread + self.mistrust_px2(other.marker);
                Some(Spring { end: end.at, length_px: other.length_px, variance_px2 })
            })
            .collect()
    }

    /// The most that a limb of a marker is longer or shorter than it was, over what it varies by itself.
    pub fn limb_strain(&self, marker: usize, at: ImagePoint, places: &Places) -> f64 {
        self.neighbours(marker)
            .filter_map(|other| {
                let end = place_of(places, other.marker)?;
                let miss = (at.distance_px(end) - other.length_px).abs();
                Some(miss / (STRAIN_PX + GIVE_RATIO * other.length_px))
            })
            .fold(0.0, f64::max)
    }

    /// Where an unseen marker must be from where its neighbours are: nearest to a predicted place, at the limbs' lengths.
    pub fn constrained(
        &self,
        marker: usize,
        predicted: UncertainPlace,
        places: &Places,
    ) -> ImagePoint {
        let springs: Vec<Spring> = self
            .neighbours(marker)
            .filter_map(|other| {
                let give = UNSEEN_GIVE_PX + GIVE_RATIO * other.length_px;
                let end = place_of(places, other.marker)?;
                let variance_px2 = give * give + self.mistrust_px2(other.marker);
                Some(Spring { end, length_px: other.length_px, variance_px2 })
            })
            .collect();
        let own = 1.0 / predicted.spread_px2.max(LEAST_DRIFT_PX2);
        let held = HeldPlace { at: predicted.at, per_px2: [own, 0.0, own] };
        settle(predicted.at, &held, &springs, UNSEEN_ITERATIONS)
    }
}

/// How firmly a place on skin is held by its picture and its drift.
fn hold(skin: &SkinPose) -> [f64; 3] {
    let [xx, xy, yy] = skin.hold_per_px2;
    let drift = 1.0 / (skin.drift_px2 + LEAST_DRIFT_PX2);
    tempered([xx + LEAST_HOLD_PER_PX2, xy, yy + LEAST_HOLD_PER_PX2], drift)
}

/// Gauss-Newton from `at` over the square of the distance from a place, weighed by how it is held, and the squares of what
/// the springs are off.
fn settle(
    mut at: ImagePoint,
    held: &HeldPlace,
    springs: &[Spring],
    iterations: usize,
) -> ImagePoint {
    for _ in 0..iterations {
        let (wx, wy) = held.at.minus(at);
        let [mut xx, mut xy, mut yy] = held.per_px2;
        let (mut bx, mut by) = (xx * wx + xy * wy, xy * wx + yy * wy);
        for spring in springs {
            let (dx, dy) = at.minus(spring.end);
            let distance = (dx * dx + dy * dy).sqrt().max(LEAST_DISTANCE_PX);
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

/// Variance of a place along a direction of length one; none of a sticker.
fn variance_along(candidate: &Candidate, (ux, uy): (f64, f64)) -> f64 {
    let Some(skin) = candidate.skin else { return 0.0 };
    let [xx, xy, yy] = skin.hold_per_px2;
    let (xx, yy) = (xx + LEAST_HOLD_PER_PX2, yy + LEAST_HOLD_PER_PX2);
    let determinant = xx * yy - xy * xy;
    skin.drift_px2 + (yy * ux * ux - 2.0 * xy * ux * uy + xx * uy * uy) / determinant
}

/// How firmly a place is held once its own drift, one over a variance, is added: `(H^-1 + drift^-1)^-1`.
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

    fn point(x_px: f64, y_px: f64) -> ImagePoint {
        ImagePoint { x_px, y_px }
    }

    #[test]
    fn an_unseen_marker_keeps_the_length_of_its_limb() {
        let limbs = [Limb::between(0, 1)];
        let skeleton = Skeleton::new(&limbs, vec![Some(point(0.0, 0.0)), Some(point(0.0, 40.0))]);
        // The limb swung, and the prediction is 10 px too far out.
        let predicted = UncertainPlace { at: point(30.0, 40.0), spread_px2: 400.0 };
        let at = skeleton.constrained(1, predicted, &[Some(point(0.0, 0.0)), None]);
        let length = at.distance_px(point(0.0, 0.0));
        assert!((length - 40.0).abs() < 0.5, "{at:?}");
        assert!((at.x_px / at.y_px - 0.75).abs() < 0.01, "{at:?}");
    }

    #[test]
    fn the_inverse_of_a_tempered_hold_is_the_sum_of_both_inverses() {
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
