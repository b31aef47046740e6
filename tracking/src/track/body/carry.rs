//! Where a marker goes that is fixed to its neighbours.

use super::Body;
use crate::image::Pixel;
use crate::point::Turn;

/// Chosen: how far off neighbours carry a marker at first, as a variance; learnt from then on.
pub(super) const FIRST_PX2: f64 = 6.0;
/// Chosen: how fast that is learnt.
const LEARN: f64 = 0.1;
/// Chosen: one frame in which it is far off says no more than this.
const MOST_PX2: f64 = 100.0;
/// Chosen: what a place costs, in correlation, that is as far from where it is carried as is usual, and the
/// variance that is forgiven whatever is usual.
const TORN: f64 = 0.03;
const FORGIVEN_PX2: f64 = 1.0;
/// The most usual ways that are counted.
const WORST: f64 = 12.0;
/// Chosen: a neighbour at this distance weighs half of one in the same place.
const NEAR_PX2: f64 = 100.0;

/// Chosen: how far off the trunk carries one of its ends in a frame, as a variance: it turns little and slowly.
const TRUNK_PX2: f64 = 2.0;

/// Chosen: a neighbour that is more likely off than not carries nothing.
const MOST_DOUBT: f64 = 0.5;

/// A neighbour before and now, from where the marker was.
struct Neighbour {
    marker: usize,
    old: (f64, f64),
    new: (f64, f64),
    weight: f64,
}

impl Body {
    /// Where a marker at `at` in the frame before is carried by its neighbours, as if it were fixed to them; with
    /// the variance of that. `None` where no two that are joined themselves were seen in both frames.
    ///
    /// The turn and the shift are those of least squares, near neighbours weighing more.
    pub fn carried(&self, marker: usize, at: Pixel, now: &[Option<Pixel>]) -> Option<(Pixel, f64)> {
        let both = self.firm_group(self.seen_twice(marker, at, now))?;
        let (old, new) = (mean(&both, |n| n.old), mean(&both, |n| n.new));
        let (mut along, mut across) = (0.0, 0.0);
        for n in &both {
            let (ax, ay) = (n.old.0 - old.0, n.old.1 - old.1);
            let (bx, by) = (n.new.0 - new.0, n.new.1 - new.1);
            along += n.weight * (ax * bx + ay * by);
            across += n.weight * (ax * by - ay * bx);
        }
        let (dx, dy) = Turn::along(along, across).of((-old.0, -old.1));
        let spread = self.carries_px2.get(marker).copied().unwrap_or(FIRST_PX2);
        Some((at.moved(new.0 + dx, new.1 + dy), spread))
    }

    /// Where an end of the trunk at `at` in the frame before is taken along by its other ends, with the variance of
    /// that; `None` where none of them was seen in both frames.
    pub fn along_trunk(
        &self,
        marker: usize,
        at: Pixel,
        now: &[Option<Pixel>],
    ) -> Option<(Pixel, f64)> {
        let ends = self.limbs.iter().filter(|l| l.is_trunk()).filter_map(|l| l.other_end(marker));
        let (mut x, mut y, mut count) = (0.0, 0.0, 0.0);
        for other in ends.filter(|other| self.doubts.get(*other).is_none_or(|d| *d < MOST_DOUBT)) {
            let old = self.before.get(other).copied().flatten();
            let new = now.get(other).copied().flatten();
            if let (Some(old), Some(new)) = (old, new) {
                let (dx, dy) = new.from(old);
                (x, y, count) = (x + dx, y + dy, count + 1.0);
            }
        }
        (count > 0.0).then(|| (at.moved(x / count, y / count), TRUNK_PX2))
    }

    fn seen_twice(&self, marker: usize, at: Pixel, now: &[Option<Pixel>]) -> Vec<Neighbour> {
        self.neighbours(marker)
            .filter(|(other, _)| self.doubts.get(*other).is_none_or(|d| *d < MOST_DOUBT))
            .filter_map(|(other, _)| {
                let old = self.before.get(other).copied().flatten()?.from(at);
                let new = now.get(other).copied().flatten()?.from(at);
                let weight = 1.0 / (old.0 * old.0 + old.1 * old.1 + NEAR_PX2);
                Some(Neighbour { marker: other, old, new, weight })
            })
            .collect()
    }

    /// Of these neighbours the weightiest group that is firm in itself: one of them and all that a limb joins to
    /// it. A shoulder and a knee carry no hip.
    fn firm_group(&self, all: Vec<Neighbour>) -> Option<Vec<Neighbour>> {
        let joined = |a: usize, b: usize| {
            a == b
                || self.limbs.iter().any(|l| (l.from, l.to) == (a, b) || (l.to, l.from) == (a, b))
        };
        let weight = |first: usize| -> f64 {
            all.iter().filter(|n| joined(first, n.marker)).map(|n| n.weight).sum()
        };
        let many = |first: usize| all.iter().filter(|n| joined(first, n.marker)).count() > 1;
        let first = all
            .iter()
            .map(|n| n.marker)
            .filter(|m| many(*m))
            .max_by(|a, b| weight(*a).total_cmp(&weight(*b)))?;
        Some(all.into_iter().filter(|n| joined(first, n.marker)).collect())
    }

    /// What a place costs that is not where the neighbours carry the marker from where it was.
    pub(super) fn torn(
        &self,
        marker: usize,
        at: Pixel,
        (was, now): (Pixel, &[Option<Pixel>]),
    ) -> f32 {
        let Some((place, spread)) = self.carried(marker, was, now) else { return 0.0 };
        let away = place.distance_px(at);
        (TORN * (away * away / (spread + FORGIVEN_PX2)).min(WORST)) as f32
    }

    /// How far a place is from where the neighbours carry the marker, over what is usual for them.
    pub fn torn_ratio(
        &self,
        marker: usize,
        (was, at): (Pixel, Pixel),
        now: &[Option<Pixel>],
    ) -> f64 {
        self.carried(marker, was, now)
            .map_or(1.0, |(place, spread)| place.distance_px(at) / (spread + FORGIVEN_PX2).sqrt())
    }

    /// Learns how well the neighbours carry each marker.
    pub(super) fn learn_carries(&mut self, seen: &[Option<Pixel>]) {
        for (marker, at) in seen.iter().enumerate() {
            let was = self.before.get(marker).copied().flatten();
            if let (Some(at), Some(was)) = (at, was)
                && let Some((place, _)) = self.carried(marker, was, seen)
                && let Some(spread) = self.carries_px2.get_mut(marker)
            {
                let away = place.distance_px(*at);
                *spread += LEARN * ((away * away).min(MOST_PX2) - *spread);
            }
        }
    }
}

fn mean(all: &[Neighbour], of: fn(&Neighbour) -> (f64, f64)) -> (f64, f64) {
    let (mut x, mut y, mut total) = (0.0, 0.0, 0.0);
    for neighbour in all {
        let step = of(neighbour);
        x += neighbour.weight * step.0;
        y += neighbour.weight * step.1;
        total += neighbour.weight;
    }
    (x / total, y / total)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::track::limb::{Limb, Part};

    fn pixel(x_px: f64, y_px: f64) -> Pixel {
        Pixel { x_px, y_px }
    }

    #[test]
    fn a_marker_between_two_others_turns_with_them() {
        let limbs = [Limb::between(0, 1), Limb::between(1, 2), Limb::between(0, 2)];
        let middle = pixel(50.0, 50.0);
        let places = vec![Some(pixel(50.0, 20.0)), Some(middle), Some(pixel(50.0, 80.0))];
        let body = Body::new(&limbs, places);
        // A quarter turn about (50, 50), and 7 px to the right.
        let now = [Some(pixel(87.0, 50.0)), None, Some(pixel(27.0, 50.0))];
        let (at, _) = body.carried(1, middle, &now).unwrap();
        assert!(at.distance_px(pixel(57.0, 50.0)) < 1e-9, "{at:?}");
        assert_eq!(body.carried(1, middle, &[Some(middle), None, None]), None);
        let hinge = Body::new(&limbs[..2], vec![Some(middle); 3]);
        assert_eq!(hinge.carried(1, middle, &now), None);
    }

    #[test]
    fn the_trunk_takes_its_unseen_end_along_and_a_leg_does_not() {
        let limb = |part| Limb::of(0, 1, part, false);
        let (shoulder, hip) = (pixel(50.0, 20.0), pixel(48.0, 100.0));
        let along = |part, shoulder_now| {
            let body = Body::new(&[limb(part)], vec![Some(shoulder), Some(hip)]);
            body.along_trunk(1, hip, &[shoulder_now, None]).map(|(at, _)| at)
        };
        let moved = Some(shoulder.moved(3.0, -2.0));
        assert_eq!(along(Part::Trunk, moved), Some(hip.moved(3.0, -2.0)));
        assert_eq!((along(Part::Leg, moved), along(Part::Trunk, None)), (None, None));
    }
}
