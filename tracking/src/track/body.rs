//! What the markers say about each other: one place holds one marker, and a limb keeps its length.

use super::follower::Limb;
use super::look::Candidate;
use crate::image::Pixel;

/// Two stickers are never nearer than this.
const APART_PX: f64 = 5.0;
/// Chosen: what being in another marker's place costs, in correlation.
const CROWDED: f32 = 0.5;
/// A limb seen from the side changes by so much without any blame: it turns a little out of the plane.
const FREE_CHANGE: f64 = 0.10;
/// Chosen: what each further tenth costs.
const PER_TENTH: f64 = 0.12;
/// Chosen: the share of its length by which a limb's length in the picture varies.
const GIVE: f64 = 0.03;
/// Chosen: how fast a limb's length is learnt.
const LEARN: f64 = 0.05;
/// Chosen: variance of the best held place, so that no place is taken for exact.
const LEAST_DRIFT_PX2: f64 = 0.25;
/// Chosen: the furthest a limb draws a place.
const FURTHEST_DRAWN_PX: f64 = 6.0;
/// The most a limb can cost.
const WORST: f64 = 0.5;

/// The lengths of the limbs as they have been seen.
#[derive(Clone, Debug)]
pub(super) struct Body {
    limbs: Vec<Limb>,
    lengths_px: Vec<f64>,
    /// How much each length has been seen to change, as a variance.
    changes_px2: Vec<f64>,
}

impl Body {
    pub fn new(limbs: &[Limb], places: &[Pixel]) -> Self {
        let length = |l: &Limb| match (places.get(l.from), places.get(l.to)) {
            (Some(a), Some(b)) => a.distance_px(*b),
            _ => 0.0,
        };
        let lengths_px: Vec<f64> = limbs.iter().map(length).collect();
        let changes_px2 = lengths_px.iter().map(|l| (1.0 + GIVE * l) * (1.0 + GIVE * l)).collect();
        Self { limbs: limbs.to_vec(), lengths_px, changes_px2 }
    }

    /// The other ends of a marker's limbs, with the limb's length.
    pub fn neighbours(&self, marker: usize) -> impl Iterator<Item = (usize, f64)> {
        self.joined(marker).map(|(other, length, _)| (other, length))
    }

    /// The other ends of a marker's limbs, with the limb's length and the variance of that.
    fn joined(&self, marker: usize) -> impl Iterator<Item = (usize, f64, f64)> {
        let known = self.lengths_px.iter().zip(&self.changes_px2);
        self.limbs.iter().zip(known).filter_map(move |(limb, (length, change))| {
            let other = match (limb.from == marker, limb.to == marker) {
                (true, false) => limb.to,
                (false, true) => limb.from,
                _ => return None,
            };
            Some((other, *length, *change))
        })
    }

    /// Draws the places that their pictures hold weakly to where the limbs have their lengths.
    ///
    /// For each marker of skin or cloth minimises `(p - m)^T H (p - m) + sum (|p - n| - length)^2 / give^2`, `m`
    /// the place found, `H` how firmly its picture holds it, `n` the neighbours, `give^2` the variance of the
    /// limb's length and of the neighbour's place; two rounds over all markers.
    pub fn relax(&self, chosen: &mut [Option<Candidate>]) {
        let found: Vec<Option<Candidate>> = chosen.to_vec();
        for _ in 0..2 {
            for (marker, own) in found.iter().enumerate() {
                let Some(own) = own.filter(|c| c.soft.hold_per_px2[0].is_finite()) else {
                    continue;
                };
                let at = self.drawn(marker, &own, chosen);
                if let Some(Some(candidate)) = chosen.get_mut(marker) {
                    candidate.at = at;
                }
            }
        }
    }

    fn drawn(&self, marker: usize, own: &Candidate, chosen: &[Option<Candidate>]) -> Pixel {
        let mut at = chosen.get(marker).copied().flatten().map_or(own.at, |c| c.at);
        let drift = 1.0 / (own.soft.drift_px2 + LEAST_DRIFT_PX2);
        let [hx, hy, hz] = own.soft.hold_per_px2;
        let hold = tempered([hx + 0.02, hy, hz + 0.02], drift);
        for _ in 0..3 {
            let (wx, wy) = own.at.from(at);
            let (mut xx, mut xy, mut yy) = (hold[0], hold[1], hold[2]);
            let (mut bx, mut by) = (xx * wx + xy * wy, xy * wx + yy * wy);
            for (other, length, change) in self.joined(marker) {
                let Some(other) = chosen.get(other).copied().flatten() else { continue };
                let (dx, dy) = at.from(other.at);
                let distance = (dx * dx + dy * dy).sqrt().max(1.0);
                let (ux, uy) = (dx / distance, dy / distance);
                let weight = 1.0 / (change + other.spread_along((ux, uy)));
                let miss = length - distance;
                xx += weight * ux * ux;
                xy += weight * ux * uy;
                yy += weight * uy * uy;
                bx += weight * miss * ux;
                by += weight * miss * uy;
            }
            let determinant = xx * yy - xy * xy;
            let (dx, dy) = ((yy * bx - xy * by) / determinant, (xx * by - xy * bx) / determinant);
            at = at.moved(dx, dy);
        }
        // A limb tells of a few pixels; further off it is the limb that is wrong.
        if at.distance_px(own.at) < FURTHEST_DRAWN_PX { at } else { own.at }
    }

    /// Where a marker must be from where its neighbours are: nearest to `expected` at the limbs' lengths.
    ///
    /// Minimises `|p - expected|^2 / sigma^2 + sum (|p - n| - length)^2 / give^2` by Gauss-Newton. `None` where
    /// no neighbour is known.
    pub fn held(
        &self,
        marker: usize,
        (expected, sigma_px): (Pixel, f64),
        places: &[Option<Pixel>],
    ) -> Option<Pixel> {
        let known: Vec<(Pixel, f64)> = self
            .neighbours(marker)
            .filter_map(|(other, length)| Some((places.get(other).copied().flatten()?, length)))
            .collect();
        if known.is_empty() {
            return None;
        }
        let mut at = expected;
        for _ in 0..6 {
            let own = 1.0 / (sigma_px * sigma_px);
            let (mut xx, mut xy, mut yy) = (own, 0.0, own);
            let (wx, wy) = expected.from(at);
            let (mut bx, mut by) = (own * wx, own * wy);
            for (place, length) in &known {
                let (dx, dy) = at.from(*place);
                let distance = (dx * dx + dy * dy).sqrt().max(1.0);
                let (ux, uy) = (dx / distance, dy / distance);
                let give = 1.5 + GIVE * length;
                let weight = 1.0 / (give * give);
                let miss = length - distance;
                xx += weight * ux * ux;
                xy += weight * ux * uy;
                yy += weight * uy * uy;
                bx += weight * miss * ux;
                by += weight * miss * uy;
            }
            let determinant = xx * yy - xy * xy;
            at = at.moved((yy * bx - xy * by) / determinant, (xx * by - xy * bx) / determinant);
        }
        Some(at)
    }

    /// Follows slow changes of length, from limbs both of whose ends were seen.
    pub fn learn(&mut self, seen: &[Option<Pixel>]) {
        let known = self.lengths_px.iter_mut().zip(&mut self.changes_px2);
        for (limb, (length, change)) in self.limbs.iter().zip(known) {
            if let (Some(Some(a)), Some(Some(b))) = (seen.get(limb.from), seen.get(limb.to)) {
                let miss = a.distance_px(*b) - *length;
                *length += LEARN * miss;
                *change += LEARN * (miss * miss - *change);
            }
        }
    }

    /// What the rest of the body holds against a marker being at a place; `chosen` is where the others are.
    pub fn blame(&self, marker: usize, at: Pixel, chosen: &[Option<Pixel>]) -> f32 {
        let crowded = chosen
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != marker)
            .filter_map(|(_, place)| *place)
            .any(|place| place.distance_px(at) < APART_PX);
        let stretched: f64 = self
            .neighbours(marker)
            .filter_map(|(other, length)| Some((chosen.get(other).copied().flatten()?, length)))
            .map(|(place, length)| stretch(place.distance_px(at), length))
            .fold(0.0, f64::max);
        stretched as f32 + if crowded { CROWDED } else { 0.0 }
    }

    /// One candidate a marker, or none, so that each is the best the others leave it.
    pub fn choose(&self, offers: &[Vec<Candidate>], least: &[f32]) -> Vec<Option<Candidate>> {
        let mut order: Vec<usize> = (0..offers.len()).collect();
        let best = |m: usize| offers[m].first().map_or(f32::MIN, |c| c.merit);
        order.sort_by(|a, b| best(*b).total_cmp(&best(*a)));
        let mut places: Vec<Option<Pixel>> = vec![None; offers.len()];
        let mut chosen: Vec<Option<Candidate>> = vec![None; offers.len()];
        for _ in 0..3 {
            for &m in &order {
                let worth = |c: &&Candidate| c.merit - self.blame(m, c.at, &places);
                let pick = offers[m].iter().max_by(|a, b| worth(a).total_cmp(&worth(b)));
                chosen[m] = pick.filter(|c| worth(c) >= least[m]).copied();
                places[m] = chosen[m].map(|c| c.at);
            }
        }
        chosen
    }
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

fn stretch(length_px: f64, usual_px: f64) -> f64 {
    if usual_px <= 0.0 {
        return 0.0;
    }
    // Two pixels either way are nothing on a short limb.
    let change = ((length_px - usual_px).abs() - 2.0).max(0.0) / usual_px;
    ((change - FREE_CHANGE).max(0.0) * 10.0 * PER_TENTH).min(WORST)
}
