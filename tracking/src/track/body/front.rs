//! The limbs that lie in front of a marker.

use super::Body;
use crate::image::Pixel;
use crate::track::look::Band;

/// Chosen: half the width of a limb, as a share of its length and beside it: a forearm is a fifth to a third as
/// wide as it is long, and moves on a little while it is expected.
const WIDTH: f64 = 0.15;
const WIDTH_PX: f64 = 2.0;
/// Chosen: a limb with nothing at its end goes on by so much of its length, for the hand is three quarters of the
/// forearm (Winter 2009, Biomechanics and Motor Control of Human Movement, 4th ed., fig. 4.1: 0.108 and 0.146 of
/// the height).
const BEYOND: f64 = 0.8;

impl Body {
    /// The limbs that lie in front of a marker; `places` is where the markers are or are expected.
    pub fn in_front(&self, marker: usize, places: &[Option<Pixel>]) -> Vec<Band> {
        let own = self.own_limbs(marker).map(|l| l.layer).max().unwrap_or(u8::MAX);
        let place = |m: usize| places.get(m).copied().flatten();
        self.limbs
            .iter()
            .filter(|l| l.layer > own)
            .filter_map(|l| {
                let (from, to) = (place(l.from)?, place(l.to)?);
                let (dx, dy) = to.from(from);
                let half_px = WIDTH * (dx * dx + dy * dy).sqrt() + WIDTH_PX;
                let beyond = if self.own_limbs(l.to).count() < 2 { BEYOND } else { 0.0 };
                Some(Band { from, to: to.moved(beyond * dx, beyond * dy), half_px })
            })
            .collect()
    }

    fn own_limbs(&self, marker: usize) -> impl Iterator<Item = &super::Limb> {
        self.limbs.iter().filter(move |l| l.other_end(marker).is_some())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::track::limb::{Limb, Part};

    #[test]
    fn the_near_forearm_hides_the_hip_with_the_hand_and_nothing_hides_the_wrist() {
        let at = |x_px: f64, y_px: f64| Some(Pixel { x_px, y_px });
        let limbs = [Limb::of(0, 1, Part::Leg, false), Limb::of(2, 3, Part::Arm, false)];
        // Hip and knee, and a forearm of 60 px that points at the hip from 40 px away.
        let places = vec![at(100.0, 100.0), at(100.0, 200.0), at(0.0, 100.0), at(60.0, 100.0)];
        let body = Body::new(&limbs, places.clone());
        let bands = body.in_front(0, &places);
        assert_eq!(bands.len(), 1);
        assert!(bands[0].outside_px(Pixel { x_px: 100.0, y_px: 100.0 }) < 0.0, "{bands:?}");
        assert!(bands[0].outside_px(Pixel { x_px: 100.0, y_px: 120.0 }) > 0.0, "{bands:?}");
        assert_eq!(body.in_front(3, &places), []);
        assert_eq!(body.in_front(0, &[places[0], places[1], None, None]), []);
    }
}
