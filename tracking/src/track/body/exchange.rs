//! Two markers that claim one place: the pair of choices that is best for both together.

use super::{APART_PX, Body, LEAST_MERIT};
use crate::image::Pixel;
use crate::track::look::Candidate;

/// Chosen: what comes out from behind another sticker must be so much more like the place that this other has come to.
/// Of 0.1, 0.2 and 0.3 the least that keeps a wrist's sticker, turned in passing a hip's, from being taken for the hip's.
const FIRSTHAND: f32 = 0.2;

/// What all markers are offered, where they were in the frame before, and what is chosen so far.
pub(super) struct Choice<'a> {
    pub offers: &'a [Vec<Candidate>],
    pub was: &'a [Pixel],
    pub chosen: Vec<Option<Candidate>>,
}

impl Choice<'_> {
    fn places(&self) -> Vec<Option<Pixel>> {
        self.chosen.iter().map(|c| c.map(|c| c.at)).collect()
    }
}

impl Body {
    /// Gives a marker that was left without a place the one another holds, where both together are better off so.
    ///
    /// The best first may take what is its neighbour's alone and leave its own: a heel in its ankle's sticker. One
    /// that has no place counts as the least merit that is taken.
    pub(super) fn exchange(&self, choice: &mut Choice<'_>) {
        for marker in 0..choice.chosen.len() {
            if choice.chosen[marker].is_some() {
                continue;
            }
            for wanted in choice.offers[marker].iter().take(2) {
                let near = |c: &Option<Candidate>| {
                    c.is_some_and(|c| c.at.distance_px(wanted.at) < APART_PX)
                };
                let Some(holder) = choice.chosen.iter().position(near) else { continue };
                if let Some(other) = self.better_apart(choice, (marker, wanted), holder) {
                    choice.chosen[marker] = Some(*wanted);
                    choice.chosen[holder] = other;
                    break;
                }
            }
        }
    }

    /// What the holder of a wanted place would have instead, where that is better for both together.
    fn better_apart(
        &self,
        choice: &Choice<'_>,
        (marker, wanted): (usize, &Candidate),
        holder: usize,
    ) -> Option<Option<Candidate>> {
        let mut places = choice.places();
        let held = choice.chosen.get(holder).copied().flatten()?;
        let kept = self.worth(&held, holder, (choice.was, &places));
        let before = LEAST_MERIT + kept + self.firsthand(holder, &held);
        places[marker] = Some(wanted.at);
        places[holder] = None;
        let worth = |c: &&Candidate| self.worth(c, holder, (choice.was, &places));
        let apart = choice.offers[holder].iter().filter(|c| c.at.distance_px(wanted.at) > APART_PX);
        let other = apart.max_by(|a, b| worth(a).total_cmp(&worth(b)));
        let other = other.filter(|c| worth(c) >= LEAST_MERIT).copied();
        let others = other.map_or(LEAST_MERIT, |c| worth(&&c) + self.firsthand(holder, &c));
        places[holder] = other.map(|c| c.at);
        let own = self.worth(wanted, marker, (choice.was, &places));
        let after = own + self.firsthand(marker, wanted) + others;
        (own >= LEAST_MERIT && after > before).then_some(other)
    }

    /// What it is worth to a sticker that it is seen on, having been seen in the frame before.
    fn firsthand(&self, marker: usize, place: &Candidate) -> f32 {
        let was_seen = self.before.get(marker).copied().flatten().is_some();
        if was_seen && !place.is_soft() { FIRSTHAND } else { 0.0 }
    }

    /// What speaks for a place once the rest of the body is heard.
    pub(super) fn worth(
        &self,
        candidate: &Candidate,
        marker: usize,
        (was, places): (&[Pixel], &[Option<Pixel>]),
    ) -> f32 {
        let at = candidate.at;
        let alone = candidate.merit - self.blame(marker, at, places);
        if !candidate.is_soft() {
            return alone;
        }
        let against = self.torn(marker, at, (was[marker], places)) + self.slid(marker, at, places);
        alone - against + self.borne_out(marker, at, places)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_place_that_is_another_marker_s_only_one_is_left_to_it() {
        let at = |x_px: f64| Pixel { x_px, y_px: 10.0 };
        let (ankle, heel, far) = (at(50.0), at(80.0), at(300.0));
        let offer = |at: Pixel, merit: f32| Candidate::still(at, merit, merit);
        let body = Body::new(&[], vec![Some(heel), Some(ankle)]);
        let places = |offers: &[Vec<Candidate>]| -> Vec<Option<Pixel>> {
            body.choose(offers, &[heel, ankle]).iter().map(|c| c.map(|c| c.at)).collect()
        };
        // The first is best liked in the other's place, but has one of its own.
        let both = [vec![offer(ankle, 1.0), offer(heel, 0.8)], vec![offer(ankle, 0.9)]];
        assert_eq!(places(&both), [Some(heel), Some(ankle)]);
        // Where it has no other, or the other marker is hardly seen there, it stays.
        let one = [vec![offer(ankle, 1.0)], vec![offer(ankle, 0.9)]];
        assert_eq!(places(&one), [Some(ankle), None]);
        let weak = [vec![offer(ankle, 1.0), offer(far, 0.55)], vec![offer(ankle, 0.7)]];
        assert_eq!(places(&weak), [Some(ankle), None]);
    }

    #[test]
    fn a_place_that_a_seen_sticker_goes_on_in_is_not_taken_by_one_that_was_hidden() {
        let at = |x_px: f64| Pixel { x_px, y_px: 10.0 };
        let (hip, wrist) = (at(50.0), at(41.0));
        let offer = |merit: f32| vec![Candidate::still(wrist, merit, merit)];
        let places = |before: Option<Pixel>, offers: &[Vec<Candidate>]| -> Vec<Option<Pixel>> {
            let body = Body::new(&[], vec![before, Some(wrist)]);
            body.choose(offers, &[hip, wrist]).iter().map(|c| c.map(|c| c.at)).collect()
        };
        // The wrist's own sticker is turned, and looks more like the hip's, which has just gone behind it.
        let like_the_hip = [offer(0.94), offer(0.78)];
        assert_eq!(places(None, &like_the_hip), [None, Some(wrist)]);
        assert_eq!(places(Some(hip), &like_the_hip), [Some(wrist), None]);
        // It is the hip's where it is hardly like the wrist's at all.
        assert_eq!(places(None, &[offer(0.94), offer(0.6)]), [Some(wrist), None]);
    }
}
