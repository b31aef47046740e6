//! The assignment of candidates to markers, and the exchange of a place that two of them claim.

use super::places::{Places, place_of};
use super::state::Skeleton;
use crate::image::ImagePoint;
use crate::scales::APART_PX;
use crate::track::candidate::Candidate;
use crate::track::cost::{self, ACCEPTED, FIRSTHAND, SkinEvidence};

/// Rounds in which each marker takes its best place given the others.
///
/// Chosen: by trial on the worked clips, no record.
const ROUNDS: usize = 3;
/// Candidates of a marker without a place for which an exchange is tried.
///
/// Chosen: for time; by trial on the worked clips, no record.
const EXCHANGED: usize = 2;

/// What all markers are offered, best first, and where they were in the frame before.
#[derive(Clone, Copy)]
pub(in crate::track) struct Offers<'a> {
    pub candidates: &'a [Vec<Candidate>],
    pub previous: &'a [ImagePoint],
}

/// By marker, the candidate that is assigned to it.
type Chosen = [Option<Candidate>];

fn places(chosen: &Chosen) -> Vec<Option<ImagePoint>> {
    chosen.iter().map(|c| c.map(|c| c.at)).collect()
}

impl Skeleton {
    /// One candidate a marker, or none, so that each is the best that the others leave it.
    pub fn assign(&self, offers: Offers<'_>) -> Vec<Option<Candidate>> {
        let candidates = offers.candidates;
        let mut order: Vec<usize> = (0..candidates.len()).collect();
        let best = |m: usize| candidates[m].first().map_or(f32::MIN, |c| c.image_merit);
        order.sort_by(|a, b| best(*b).total_cmp(&best(*a)));
        let mut places: Vec<Option<ImagePoint>> = vec![None; candidates.len()];
        let mut chosen: Vec<Option<Candidate>> = vec![None; candidates.len()];
        for _ in 0..ROUNDS {
            for &m in &order {
                let merit = |c: &&Candidate| self.merit(c, m, offers.previous, &places);
                let pick = candidates[m].iter().max_by(|a, b| merit(a).total_cmp(&merit(b)));
                chosen[m] = pick.filter(|c| merit(c) >= ACCEPTED).copied();
                places[m] = chosen[m].map(|c| c.at);
            }
        }
        self.exchange(offers, &mut chosen);
        chosen
    }

    /// The merit of a place once the other markers are heard.
    fn merit(
        &self,
        candidate: &Candidate,
        marker: usize,
        previous: &[ImagePoint],
        places: &Places,
    ) -> f32 {
        let at = candidate.at;
        let skeleton = self.evidence(marker, at, places);
        let skin = candidate.skin.map(|_| SkinEvidence {
            rigid: self.rigid_deviation(marker, previous[marker], at, places),
            slide_ratio: self.slide_ratio(marker, at, places),
            interpolation: self.interpolation_deviation(marker, at, places),
        });
        cost::merit(candidate.image_merit, &skeleton, skin.as_ref())
    }

    /// Gives a marker that was left without a place the one that another holds, if both together are better off so.
    ///
    /// The best first may take its neighbour's only place and leave its own: a heel in its ankle's sticker. A marker without
    /// a place counts as the least merit that is accepted.
    fn exchange(&self, offers: Offers<'_>, chosen: &mut Chosen) {
        for marker in 0..chosen.len() {
            if chosen[marker].is_some() {
                continue;
            }
            for wanted in offers.candidates[marker].iter().take(EXCHANGED) {
                let near = |c: &Option<Candidate>| {
                    c.is_some_and(|c| c.at.distance_px(wanted.at) < APART_PX)
                };
                let Some(holder) = chosen.iter().position(near) else { continue };
                let claim = Claim { marker, wanted, holder };
                if let Some(exchanged) = self.better_exchange(offers, chosen, &claim) {
                    chosen[marker] = Some(*wanted);
                    chosen[holder] = exchanged.holder;
                    break;
                }
            }
        }
    }

    /// What the holder of a wanted place would have instead, if that is better for both together.
    fn better_exchange(
        &self,
        offers: Offers<'_>,
        chosen: &Chosen,
        &Claim { marker, wanted, holder }: &Claim<'_>,
    ) -> Option<Exchange> {
        let mut places = places(chosen);
        let held = chosen.get(holder).copied().flatten()?;
        let kept = self.merit(&held, holder, offers.previous, &places);
        let before = ACCEPTED + kept + self.firsthand(holder, &held);
        places[marker] = Some(wanted.at);
        places[holder] = None;
        let merit = |c: &&Candidate| self.merit(c, holder, offers.previous, &places);
        let candidates = offers.candidates[holder].iter();
        let apart = candidates.filter(|c| c.at.distance_px(wanted.at) > APART_PX);
        let other = apart.max_by(|a, b| merit(a).total_cmp(&merit(b)));
        let other = other.filter(|c| merit(c) >= ACCEPTED).copied();
        let others = other.map_or(ACCEPTED, |c| merit(&&c) + self.firsthand(holder, &c));
        places[holder] = other.map(|c| c.at);
        let own = self.merit(wanted, marker, offers.previous, &places);
        let after = own + self.firsthand(marker, wanted) + others;
        (own >= ACCEPTED && after > before).then_some(Exchange { holder: other })
    }

    /// What it is worth to a sticker that it is seen on, having been seen in the frame before.
    fn firsthand(&self, marker: usize, place: &Candidate) -> f32 {
        let was_seen = place_of(&self.previous, marker).is_some();
        if was_seen && place.skin.is_none() { FIRSTHAND } else { 0.0 }
    }
}

/// A place that a marker without one wants and another holds.
struct Claim<'a> {
    marker: usize,
    wanted: &'a Candidate,
    holder: usize,
}

/// What the holder of an exchanged place has instead.
struct Exchange {
    holder: Option<Candidate>,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x_px: f64) -> ImagePoint {
        ImagePoint { x_px, y_px: 10.0 }
    }

    fn offer(at: ImagePoint, merit: f32) -> Candidate {
        Candidate::of_sticker(at, merit, merit)
    }

    fn assigned(
        skeleton: &Skeleton,
        candidates: &[Vec<Candidate>],
        previous: &[ImagePoint],
    ) -> Vec<Option<ImagePoint>> {
        places(&skeleton.assign(Offers { candidates, previous }))
    }

    #[test]
    fn a_place_that_is_the_only_one_of_another_marker_is_left_to_it() {
        let (ankle, heel, far) = (at(50.0), at(80.0), at(300.0));
        let skeleton = Skeleton::new(&[], vec![Some(heel), Some(ankle)]);
        let places = |offers: &[Vec<Candidate>]| assigned(&skeleton, offers, &[heel, ankle]);
        // The first has most merit in the other's place, but has one of its own.
        let both = [vec![offer(ankle, 1.0), offer(heel, 0.8)], vec![offer(ankle, 0.9)]];
        assert_eq!(places(&both), [Some(heel), Some(ankle)]);
        // If it has no other, or the other marker is hardly seen there, it stays.
        let one = [vec![offer(ankle, 1.0)], vec![offer(ankle, 0.9)]];
        assert_eq!(places(&one), [Some(ankle), None]);
        let weak = [vec![offer(ankle, 1.0), offer(far, 0.55)], vec![offer(ankle, 0.7)]];
        assert_eq!(places(&weak), [Some(ankle), None]);
    }

    #[test]
    fn a_sticker_that_was_hidden_does_not_take_the_place_of_one_that_was_seen() {
        let (hip, wrist) = (at(50.0), at(41.0));
        let offer = |merit: f32| vec![offer(wrist, merit)];
        let places = |before: Option<ImagePoint>, offers: &[Vec<Candidate>]| {
            let skeleton = Skeleton::new(&[], vec![before, Some(wrist)]);
            assigned(&skeleton, offers, &[hip, wrist])
        };
        // The wrist's own sticker is turned, and looks more like the hip's, which has just gone behind it.
        let like_the_hip = [offer(0.94), offer(0.78)];
        assert_eq!(places(None, &like_the_hip), [None, Some(wrist)]);
        assert_eq!(places(Some(hip), &like_the_hip), [Some(wrist), None]);
        // It is the hip's if it is hardly like the wrist's at all.
        assert_eq!(places(None, &[offer(0.94), offer(0.6)]), [Some(wrist), None]);
    }
}
