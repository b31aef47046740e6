//! The rigid prediction: where a marker goes that is fixed to its neighbours.

use super::places::{Places, UncertainPlace, place_of};
use super::state::Skeleton;
use crate::image::ImagePoint;
use crate::point::Rotation;
use crate::scales::{NEIGHBOUR_PX, RIGID_ERROR_LEARNT};
use crate::track::cost::Deviation;

/// The most that one frame says of how far off neighbours carry a marker, as a variance.
///
/// Chosen: 10 px; by trial on the worked clips, no record.
const MOST_PX2: f64 = 100.0;
/// Variance of where the trunk carries one of its ends in a frame.
///
/// Chosen: it turns little and slowly; by trial on the worked clips, no record.
const TRUNK_PX2: f64 = 2.0;

/// A neighbour before and now, from where the marker was.
struct MovedNeighbour {
    marker: usize,
    old: (f64, f64),
    new: (f64, f64),
    weight: f64,
}

impl Skeleton {
    /// Where a marker at `was` in the frame before is carried by its neighbours, as if it were fixed to them; `None` if no
    /// two that are joined to each other were seen in both frames.
    ///
    /// Rotation and shift are those of least squares, near neighbours weighing more.
    pub fn carried(
        &self,
        marker: usize,
        was: ImagePoint,
        places: &Places,
    ) -> Option<UncertainPlace> {
        let group = self.rigid_group(self.moved_neighbours(marker, was, places))?;
        let (old, new) = (mean(&group, |n| n.old), mean(&group, |n| n.new));
        let (mut along, mut across) = (0.0, 0.0);
        for n in &group {
            let (ax, ay) = (n.old.0 - old.0, n.old.1 - old.1);
            let (bx, by) = (n.new.0 - new.0, n.new.1 - new.1);
            along += n.weight * (ax * bx + ay * by);
            across += n.weight * (ax * by - ay * bx);
        }
        let (dx, dy) = Rotation::along(along, across).apply((-old.0, -old.1));
        let spread_px2 = self.rigid_px2.get(marker).copied()?;
        Some(UncertainPlace { at: was.moved(new.0 + dx, new.1 + dy), spread_px2 })
    }

    /// Where an end of the trunk at `was` in the frame before is carried by its other ends; `None` if none of them was seen in
    /// both frames.
    pub fn carried_by_trunk(
        &self,
        marker: usize,
        was: ImagePoint,
        places: &Places,
    ) -> Option<UncertainPlace> {
        let ends = self.limbs.iter().filter(|l| l.is_trunk()).filter_map(|l| l.other_end(marker));
        let (mut x, mut y, mut count) = (0.0, 0.0, 0.0);
        for other in ends.filter(|other| self.is_trusted(*other)) {
            let old = place_of(&self.previous, other);
            if let (Some(old), Some(new)) = (old, place_of(places, other)) {
                let (dx, dy) = new.minus(old);
                (x, y, count) = (x + dx, y + dy, count + 1.0);
            }
        }
        let at = was.moved(x / count, y / count);
        (count > 0.0).then_some(UncertainPlace { at, spread_px2: TRUNK_PX2 })
    }

    fn moved_neighbours(
        &self,
        marker: usize,
        was: ImagePoint,
        places: &Places,
    ) -> Vec<MovedNeighbour> {
        self.neighbours(marker)
            .filter(|other| self.is_trusted(other.marker))
            .filter_map(|other| {
                let old = place_of(&self.previous, other.marker)?.minus(was);
                let new = place_of(places, other.marker)?.minus(was);
                let square = old.0 * old.0 + old.1 * old.1;
                let weight = 1.0 / (square + NEIGHBOUR_PX * NEIGHBOUR_PX);
                Some(MovedNeighbour { marker: other.marker, old, new, weight })
            })
            .collect()
    }

    /// Of these neighbours the weightiest group that is rigid in itself: one of them and all that a limb joins to it. A
    /// shoulder and a knee carry no hip.
    fn rigid_group(&self, all: Vec<MovedNeighbour>) -> Option<Vec<MovedNeighbour>> {
        let joined = |a: usize, b: usize| a == b || self.limbs.iter().any(|limb| limb.joins(a, b));
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

    /// How far a place is from where the neighbours carry the marker from where it was.
    pub fn rigid_deviation(
        &self,
        marker: usize,
        was: ImagePoint,
        at: ImagePoint,
        places: &Places,
    ) -> Option<Deviation> {
        let carried = self.carried(marker, was, places)?;
        let distance_px = carried.at.distance_px(at);
        Some(Deviation { distance_px, usual_px2: carried.spread_px2 })
    }

    /// Learns how well the neighbours carry each marker.
    pub(super) fn learn_rigid(&mut self, seen: &Places) {
        for (marker, at) in seen.iter().enumerate() {
            if let (Some(at), Some(was)) = (at, place_of(&self.previous, marker))
                && let Some(carried) = self.carried(marker, was, seen)
                && let Some(spread) = self.rigid_px2.get_mut(marker)
            {
                let away = carried.at.distance_px(*at);
                *spread += RIGID_ERROR_LEARNT * ((away * away).min(MOST_PX2) - *spread);
            }
        }
    }
}

fn mean(all: &[MovedNeighbour], of: fn(&MovedNeighbour) -> (f64, f64)) -> (f64, f64) {
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

    fn point(x_px: f64, y_px: f64) -> ImagePoint {
        ImagePoint { x_px, y_px }
    }

    #[test]
    fn a_marker_between_two_others_turns_with_them() {
        let limbs = [Limb::between(0, 1), Limb::between(1, 2), Limb::between(0, 2)];
        let middle = point(50.0, 50.0);
        let places = vec![Some(point(50.0, 20.0)), Some(middle), Some(point(50.0, 80.0))];
        let skeleton = Skeleton::new(&limbs, places);
        // A quarter turn about (50, 50), and 7 px to the right.
        let now = [Some(point(87.0, 50.0)), None, Some(point(27.0, 50.0))];
        let carried = skeleton.carried(1, middle, &now).unwrap();
        assert!(carried.at.distance_px(point(57.0, 50.0)) < 1e-9, "{carried:?}");
        assert_eq!(skeleton.carried(1, middle, &[Some(middle), None, None]), None);
        let hinge = Skeleton::new(&limbs[..2], vec![Some(middle); 3]);
        assert_eq!(hinge.carried(1, middle, &now), None);
    }

    #[test]
    fn the_trunk_carries_its_unseen_end_and_a_leg_does_not() {
        let limb = |part| Limb::of(0, 1, part, false);
        let (shoulder, hip) = (point(50.0, 20.0), point(48.0, 100.0));
        let carried = |part, shoulder_now| {
            let skeleton = Skeleton::new(&[limb(part)], vec![Some(shoulder), Some(hip)]);
            skeleton.carried_by_trunk(1, hip, &[shoulder_now, None]).map(|there| there.at)
        };
        let moved = Some(shoulder.moved(3.0, -2.0));
        assert_eq!(carried(Part::Trunk, moved), Some(hip.moved(3.0, -2.0)));
        assert_eq!((carried(Part::Leg, moved), carried(Part::Trunk, None)), (None, None));
    }
}
