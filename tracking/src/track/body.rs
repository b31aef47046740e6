//! What the markers say about each other: one place holds one marker, and a limb keeps its length.

use super::candidate::Candidate;
use super::follower::Limb;
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
/// The most a limb can cost.
const WORST: f64 = 0.5;

/// The lengths of the limbs as they have been seen.
#[derive(Clone, Debug)]
pub(super) struct Body {
    limbs: Vec<Limb>,
    lengths_px: Vec<f64>,
}

impl Body {
    pub fn new(limbs: &[Limb], places: &[Pixel]) -> Self {
        let length = |l: &Limb| match (places.get(l.from), places.get(l.to)) {
            (Some(a), Some(b)) => a.distance_px(*b),
            _ => 0.0,
        };
        Self { limbs: limbs.to_vec(), lengths_px: limbs.iter().map(length).collect() }
    }

    /// The other ends of a marker's limbs, with the limb's length.
    pub fn neighbours(&self, marker: usize) -> impl Iterator<Item = (usize, f64)> {
        self.limbs.iter().zip(&self.lengths_px).filter_map(move |(limb, length)| {
            let other = match (limb.from == marker, limb.to == marker) {
                (true, false) => limb.to,
                (false, true) => limb.from,
                _ => return None,
            };
            Some((other, *length))
        })
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
        for (limb, length) in self.limbs.iter().zip(&mut self.lengths_px) {
            if let (Some(Some(a)), Some(Some(b))) = (seen.get(limb.from), seen.get(limb.to)) {
                *length += 0.05 * (a.distance_px(*b) - *length);
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

fn stretch(length_px: f64, usual_px: f64) -> f64 {
    if usual_px <= 0.0 {
        return 0.0;
    }
    // Two pixels either way are nothing on a short limb.
    let change = ((length_px - usual_px).abs() - 2.0).max(0.0) / usual_px;
    ((change - FREE_CHANGE).max(0.0) * 10.0 * PER_TENTH).min(WORST)
}
