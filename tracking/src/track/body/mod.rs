//! What the markers say about each other: one place holds one marker, and a limb keeps its length.

mod carry;
mod exchange;
mod firm;
mod front;
mod hold;

use super::limb::Limb;
use super::look::Candidate;
use crate::image::Pixel;
use exchange::Choice;
use firm::Firm;

/// Two stickers are never nearer than this.
pub(super) const APART_PX: f64 = 5.0;
/// Chosen: what being in another marker's place costs, in correlation.
const CROWDED: f32 = 0.5;
/// A limb seen from the side changes by so much without any blame: it turns a little out of the plane.
const FREE_CHANGE: f64 = 0.10;
/// Chosen: what each further tenth costs.
const PER_TENTH: f64 = 0.12;
/// Chosen: the share by which one limb of a marker may be longer and another shorter at once, as the marks on their ends
/// are only about right; and what each further tenth costs.
const FREE_SLIDE: f64 = 0.03;
const SLIDE_PER_TENTH: f64 = 0.6;
/// The most a limb can cost.
const WORST: f64 = 0.5;
/// Chosen: how much of what a limb's length is off is learnt in a frame; faster, and it learns the drift of its ends.
const LEARN: f64 = 0.01;
/// Chosen: how much of it is learnt when a person places an end.
const LEARN_PLACED: f64 = 0.3;
/// Merit that a place needs to be taken.
///
/// Chosen: between what the best wrong place usually has (0.4) and what a right one falls to in blur (0.6).
const LEAST_MERIT: f32 = 0.5;

/// The lengths of the limbs as they have been seen, and where the markers were.
#[derive(Clone, Debug)]
pub(super) struct Body {
    limbs: Vec<Limb>,
    /// `None` until both ends have been seen.
    lengths_px: Vec<Option<f64>>,
    /// Where each marker was seen in the frame before.
    before: Vec<Option<Pixel>>,
    /// By marker, how far off its neighbours carry it in a frame, as a variance.
    carries_px2: Vec<f64>,
    /// By marker, how likely it was off in the frame before.
    doubts: Vec<f64>,
    /// Where markers lie between two neighbours.
    firms: Vec<Firm>,
}

impl Body {
    /// A body of these limbs, with the markers where they are; `None` for one that is not there yet.
    pub fn new(limbs: &[Limb], places: Vec<Option<Pixel>>) -> Self {
        let place = |m: usize| places.get(m).copied().flatten();
        let length = |l: &Limb| Some(place(l.from)?.distance_px(place(l.to)?));
        Self {
            limbs: limbs.to_vec(),
            lengths_px: limbs.iter().map(length).collect(),
            carries_px2: vec![carry::FIRST_PX2; places.len()],
            doubts: vec![0.0; places.len()],
            firms: Firm::all(limbs, &places),
            before: places,
        }
    }

    /// The other ends of a marker's limbs, with the limb's length.
    pub fn neighbours(&self, marker: usize) -> impl Iterator<Item = (usize, f64)> {
        self.limbs
            .iter()
            .zip(&self.lengths_px)
            .filter_map(move |(limb, length)| Some((limb.other_end(marker)?, (*length)?)))
    }

    /// Share of a marker's neighbours that are not seen; `None` where it has none.
    pub fn alone_ratio(&self, marker: usize, places: &[Option<Pixel>]) -> Option<f64> {
        let seen = |other: usize| places.get(other).copied().flatten().is_some();
        let (all, unseen) =
            self.neighbours(marker).fold((0.0, 0.0), |(all, unseen), (other, _)| {
                (all + 1.0, if seen(other) { unseen } else { unseen + 1.0 })
            });
        (all > 0.0).then_some(unseen / all)
    }

    /// A person placed a marker: its limbs are about as long as they are now.
    pub fn place(&mut self, marker: usize, at: Pixel) {
        for (limb, length) in self.limbs.iter().zip(&mut self.lengths_px) {
            let other = limb.other_end(marker);
            let Some(end) = other.and_then(|o| self.before.get(o).copied().flatten()) else {
                continue;
            };
            let now = end.distance_px(at);
            *length = Some(length.map_or(now, |old| old + LEARN_PLACED * (now - old)));
        }
        if let (Some(before), Some(doubt)) =
            (self.before.get_mut(marker), self.doubts.get_mut(marker))
        {
            (*before, *doubt) = (Some(at), 0.0);
        }
        self.place_firm(marker);
    }

    /// Takes where the markers were seen and how likely each is off: follows slow changes, and remembers.
    pub fn learn(&mut self, seen: Vec<Option<Pixel>>, doubts: Vec<f64>) {
        self.doubts = doubts;
        self.learn_carries(&seen);
        self.learn_firm(&seen);
        let place = |m: usize| seen.get(m).copied().flatten();
        for (limb, length) in self.limbs.iter().zip(&mut self.lengths_px) {
            if let (Some(a), Some(b)) = (place(limb.from), place(limb.to)) {
                let now = a.distance_px(b);
                *length = Some(length.map_or(now, |old| old + LEARN * (now - old)));
            }
        }
        self.before = seen;
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
            .lengths_px(marker, at, chosen)
            .map(|(now, usual)| stretch(now, usual))
            .fold(0.0, f64::max);
        stretched as f32 + if crowded { CROWDED } else { 0.0 }
    }

    /// How long the limbs of a marker at a place are, and how long they usually are.
    fn lengths_px(
        &self,
        marker: usize,
        at: Pixel,
        chosen: &[Option<Pixel>],
    ) -> impl Iterator<Item = (f64, f64)> {
        self.neighbours(marker).filter_map(move |(other, usual_px)| {
            Some((chosen.get(other).copied().flatten()?.distance_px(at), usual_px))
        })
    }

    /// What it costs on skin or cloth that one limb is longer than usual and another shorter at once.
    ///
    /// A limb that turns out of the plane gets shorter, and none gets longer by it: a hip that is nearer to its shoulder
    /// and further from its knee has slid, as along the edge of an arm in front of it. A sticker does not slide.
    pub(super) fn slid(&self, marker: usize, at: Pixel, chosen: &[Option<Pixel>]) -> f32 {
        let (mut longer, mut shorter) = (0.0_f64, 0.0_f64);
        for (now, usual) in self.lengths_px(marker, at, chosen).filter(|(_, usual)| *usual > 0.0) {
            let change = (now - usual) / usual;
            (longer, shorter) = (longer.max(change), shorter.max(-change));
        }
        let share = (longer.min(shorter) - FREE_SLIDE).max(0.0);
        (share * 10.0 * SLIDE_PER_TENTH).min(WORST) as f32
    }

    /// One candidate a marker, or none, so that each is the best the others leave it; `was` is where the
    /// markers were in the frame before.
    pub fn choose(&self, offers: &[Vec<Candidate>], was: &[Pixel]) -> Vec<Option<Candidate>> {
        let mut order: Vec<usize> = (0..offers.len()).collect();
        let best = |m: usize| offers[m].first().map_or(f32::MIN, |c| c.merit);
        order.sort_by(|a, b| best(*b).total_cmp(&best(*a)));
        let mut places: Vec<Option<Pixel>> = vec![None; offers.len()];
        let mut chosen: Vec<Option<Candidate>> = vec![None; offers.len()];
        for _ in 0..3 {
            for &m in &order {
                let worth = |c: &&Candidate| self.worth(c, m, (was, &places));
                let pick = offers[m].iter().max_by(|a, b| worth(a).total_cmp(&worth(b)));
                chosen[m] = pick.filter(|c| worth(c) >= LEAST_MERIT).copied();
                places[m] = chosen[m].map(|c| c.at);
            }
        }
        let mut choice = Choice { offers, was, chosen };
        self.exchange(&mut choice);
        choice.chosen
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hip_that_slid_towards_the_shoulder_costs_more_than_a_trunk_that_leans_out_of_the_plane() {
        let at = |y_px: f64| Some(Pixel { x_px: 50.0, y_px });
        // Shoulder, hip and knee, one above the other.
        let (shoulder, knee) = (at(0.0), at(200.0));
        let body =
            Body::new(&[Limb::between(0, 1), Limb::between(1, 2)], vec![shoulder, at(100.0), knee]);
        let hip = Pixel { x_px: 50.0, y_px: 91.0 };
        // The first is nine pixels too high; in the second the trunk is shorter and the thigh as long as ever.
        let slid = body.slid(1, hip, &[shoulder, None, knee]);
        let leaning = body.slid(1, hip, &[shoulder, None, at(191.0)]);
        // Longer and shorter by 9 %: six points beyond the free ones, at 0.06 each.
        assert!((slid - 0.36).abs() < 1e-6, "{slid}");
        assert_eq!(leaning, 0.0);
    }
}
