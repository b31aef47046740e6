//! The limbs that lie in front of a marker.

use super::places::{Places, place_of};
use super::state::Skeleton;
use crate::scales::LIMB_MARGIN_PX;
use crate::track::limb::Limb;
use crate::track::occluder::Occluder;

/// Half the width of a limb, as a share of its length.
///
/// Chosen: a forearm is a fifth to a third as wide as it is long.
const WIDTH_RATIO: f64 = 0.15;
/// A limb with nothing at its end goes on by this share of its length.
///
/// Chosen: the hand is three quarters of the forearm (Winter 2009, Biomechanics and Motor Control of Human Movement, 4th
/// ed., fig. 4.1: 0.108 and 0.146 of the height).
const HAND_RATIO: f64 = 0.8;

impl Skeleton {
    /// The limbs that lie in front of a marker; `places` is where the markers are or are predicted.
    pub fn in_front(&self, marker: usize, places: &Places) -> Vec<Occluder> {
        let own = self.own_limbs(marker).map(|l| l.layer).max().unwrap_or(u8::MAX);
        self.limbs
            .iter()
            .filter(|l| l.layer > own)
            .filter_map(|l| {
                let (from, to) = (place_of(places, l.from)?, place_of(places, l.to)?);
                let (dx, dy) = to.minus(from);
                let half_width_px = WIDTH_RATIO * (dx * dx + dy * dy).sqrt() + LIMB_MARGIN_PX;
                let beyond = if self.own_limbs(l.to).count() < 2 { HAND_RATIO } else { 0.0 };
                Some(Occluder { from, to: to.moved(beyond * dx, beyond * dy), half_width_px })
            })
            .collect()
    }

    fn own_limbs(&self, marker: usize) -> impl Iterator<Item = &Limb> {
        self.limbs.iter().filter(move |l| l.other_end(marker).is_some())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::ImagePoint;
    use crate::track::limb::Part;

    #[test]
    fn the_near_forearm_hides_the_hip_with_the_hand_and_nothing_hides_the_wrist() {
        let at = |x_px: f64, y_px: f64| Some(ImagePoint { x_px, y_px });
        let limbs = [Limb::of(0, 1, Part::Leg, false), Limb::of(2, 3, Part::Arm, false)];
        // Hip and knee, and a forearm of 60 px that points at the hip from 40 px away.
        let places = vec![at(100.0, 100.0), at(100.0, 200.0), at(0.0, 100.0), at(60.0, 100.0)];
        let skeleton = Skeleton::new(&limbs, places.clone());
        let in_front = skeleton.in_front(0, &places);
        assert_eq!(in_front.len(), 1);
        let outside_px = |y_px| in_front[0].outside_px(ImagePoint { x_px: 100.0, y_px });
        assert!(outside_px(100.0) < 0.0 && outside_px(120.0) > 0.0, "{in_front:?}");
        assert_eq!(skeleton.in_front(3, &places), []);
        assert_eq!(skeleton.in_front(0, &[places[0], places[1], None, None]), []);
    }
}
