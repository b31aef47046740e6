//! Follows a set of markers one frame at a time, in either direction of time.

use super::body::{APART_PX, Body};
use super::certainty::{Signs, Way, judged};
use super::doubt::doubt;
use super::limb::Limb;
use super::look::{Candidate, LookScratch};
use super::marker::{Expected, Marker, Motion};
use super::sample::{Sample, State};
use crate::Error;
use crate::image::{GreyFrame, Pixel};

/// What a marker is: decides how it is followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// A sticker of its own contrast: the placed template decides.
    Sticker,
    /// Skin or cloth: continuity decides, templates are renewed.
    Skin,
}

/// A marker as a pass begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkerStart {
    /// Where it is in the first frame of the pass; no number (`NaN`) where it is not there yet.
    pub at: Pixel,
    /// What it is.
    pub mode: Mode,
}

/// Chosen: a marker that a person moves further than this was not followed, and its motion is only a guess.
const KNOWN_PX: f64 = 5.0;
/// Chosen: one that a person moves further than this was on something else and moved as that does; its own motion
/// is then that of its neighbours.
const ELSEWHERE_PX: f64 = 10.0;
/// Chosen: a marker that a person placed twice within so many frames moves as it did between.
const LATELY: u32 = 3;
/// Chosen: variance of where a marker is that was taken for another one.
const UNKNOWN_PX2: f64 = 100.0;
/// Chosen: how much less the neighbours are trusted with a marker that is not seen than they were with it seen.
const CARRIED_SHARE: f64 = 2.0;

/// The state of one pass over the frames.
#[derive(Debug)]
pub struct Follower {
    size_px: (usize, usize),
    /// `None` where there is nothing to hold on to: such a marker is lost until it is placed again.
    markers: Vec<Slot>,
    body: Body,
    scratch: LookScratch,
}

/// A marker of a pass: followed, or without anything to follow since it was placed.
#[derive(Debug)]
struct Slot {
    at: Pixel,
    mode: Mode,
    marker: Option<Marker>,
    /// What told of its being off in the last frame.
    signs: Option<Signs>,
    /// Where a person placed it last in this pass, and how many frames ago.
    placed: Option<(Pixel, u32)>,
}

impl Slot {
    /// The middle of what is followed.
    fn middle(&self) -> Pixel {
        self.marker.as_ref().map_or(self.at, |m| m.at)
    }
}

fn is_placed(at: Pixel) -> bool {
    at.x_px.is_finite() && at.y_px.is_finite()
}

fn is_inside(at: Pixel, (width_px, height_px): (usize, usize)) -> bool {
    let within = |v: f64, size: usize| v >= -0.5 && v <= size as f64 - 0.5;
    within(at.x_px, width_px) && within(at.y_px, height_px)
}

impl Follower {
    /// Begins a pass at `frame` with the markers where they were placed.
    ///
    /// A place that is no number is that of a marker that is not there yet: it is lost until it is placed.
    ///
    /// # Errors
    /// When a marker lies outside the picture or a limb names a marker that is not there.
    #[inline(never)]
    pub fn new(
        frame: GreyFrame<'_>,
        markers: &[MarkerStart],
        limbs: &[Limb],
    ) -> Result<Self, Error> {
        let size_px = (frame.width_px(), frame.height_px());
        if let Some(limb) = limbs.iter().find(|l| l.from.max(l.to) >= markers.len()) {
            return Err(Error::NoSuchMarker {
                marker: limb.from.max(limb.to),
                have: markers.len(),
            });
        }
        let outside = |p: Pixel| is_placed(p) && !is_inside(p, size_px);
        if let Some(marker) = markers.iter().position(|m| outside(m.at)) {
            return Err(Error::Outside { marker });
        }
        let places: Vec<Option<Pixel>> =
            markers.iter().map(|m| is_inside(m.at, size_px).then_some(m.at)).collect();
        let body = Body::new(limbs, places.clone());
        let slot = |(index, m): (usize, &MarkerStart)| {
            let inside = is_inside(m.at, size_px);
            let bands = body.in_front(index, &places);
            let marker = if inside { Marker::place(frame, m.at, m.mode, bands) } else { None };
            Slot { at: m.at, mode: m.mode, marker, signs: None, placed: None }
        };
        Ok(Self {
            size_px,
            markers: markers.iter().enumerate().map(slot).collect(),
            body,
            scratch: LookScratch::default(),
        })
    }

    /// Takes the next frame of the pass; one sample a marker, in the order given.
    ///
    /// # Errors
    /// When the frame is of another size than the first.
    #[inline(never)]
    pub fn step(&mut self, frame: GreyFrame<'_>) -> Result<Vec<Sample>, Error> {
        let size_px = (frame.width_px(), frame.height_px());
        if size_px != self.size_px {
            return Err(Error::Size { first: self.size_px, now: size_px });
        }
        let expected: Vec<Option<Expected>> =
            self.markers.iter().map(|s| s.marker.as_ref().map(|m| m.expectation(frame))).collect();
        self.see_what_hides(&expected);
        let scratch = &mut self.scratch;
        let offers: Vec<Vec<Candidate>> = self
            .markers
            .iter()
            .zip(&expected)
            .map(|(slot, expected)| match (&slot.marker, expected) {
                (Some(marker), Some(expected)) => marker.candidates(frame, expected, scratch),
                _ => Vec::new(),
            })
            .collect();
        let was: Vec<Pixel> = self.markers.iter().map(Slot::middle).collect();
        let mut chosen = self.body.choose(&offers, &was);
        self.body.relax(&mut chosen);
        // Outside the picture there are only its repeated edges, and nothing is seen in them.
        for choice in &mut chosen {
            *choice = choice.filter(|c| is_inside(c.at, size_px));
        }
        let places: Vec<Option<Pixel>> = chosen.iter().map(|c| c.map(|c| c.at)).collect();
        let mut samples = Vec::with_capacity(expected.len());
        let mut doubts = Vec::with_capacity(expected.len());
        for (index, (expected, choice)) in expected.into_iter().zip(chosen).enumerate() {
            let (sample, doubt) = self.settle(index, expected, choice, &places);
            samples.push(sample);
            doubts.push(doubt);
        }
        self.body.learn(places, doubts);
        Ok(samples)
    }

    /// Tells each marker which limbs will lie in front of it.
    fn see_what_hides(&mut self, expected: &[Option<Expected>]) {
        let places: Vec<Option<Pixel>> =
            expected.iter().map(|e| e.as_ref().map(|e| e.at)).collect();
        for (index, slot) in self.markers.iter_mut().enumerate() {
            if let Some(marker) = &mut slot.marker {
                marker.bands = self.body.in_front(index, &places);
            }
        }
    }

    /// Takes what was chosen for a marker; where it is, and how little its neighbours rely on that.
    fn settle(
        &mut self,
        index: usize,
        expected: Option<Expected>,
        choice: Option<Candidate>,
        places: &[Option<Pixel>],
    ) -> (Sample, f64) {
        let slot = &mut self.markers[index];
        slot.signs = None;
        slot.placed = slot.placed.map(|(at, frames)| (at, frames + 1));
        let (Some(marker), Some(expected)) = (slot.marker.as_mut(), expected) else {
            return (Sample { at: slot.at, state: State::Lost, p_wrong: 1.0 }, 1.0);
        };
        let borne = self.body.carried(index, marker.at, places).is_some();
        let (at, way, signs) = match choice {
            Some(c) => {
                let signs = signs(&self.body, (index, marker), (&c, &expected), places);
                marker.take(&c, expected.region, &mut self.scratch);
                (c.at, if c.is_soft() { Way::Soft } else { Way::Sticker }, signs)
            }
            None => {
                let (at, spread_px2) = unseen_place(&self.body, (index, marker), &expected, places);
                marker.coast(at, spread_px2);
                (at, Way::Unseen, signs_unseen(&self.body, (index, marker), places))
            }
        };
        let (state, p_wrong) = judged(way, &signs, marker.unseen);
        slot.signs = Some(signs);
        let at = marker.shown(at);
        slot.at = at;
        (Sample { at, state, p_wrong }, doubt(way, &signs, (marker.unseen, borne)))
    }

    /// Whether a marker is followed in colour, so that the frames to come need it; a frame in which a sticker is placed
    /// needs it in any case.
    #[must_use]
    pub fn needs_colour(&self) -> bool {
        self.markers.iter().filter_map(|slot| slot.marker.as_ref()).any(Marker::needs_colour)
    }

    /// What told of a marker's being off in the frame just taken, for whoever fits the certainty anew.
    #[must_use]
    pub fn signs(&self, marker: usize) -> Option<Signs> {
        self.markers.get(marker)?.signs
    }

    /// A marker that was taken to be where a person has now placed another one was not seen there.
    fn give_way(&mut self, placed: usize, at: Pixel) {
        for (index, slot) in self.markers.iter_mut().enumerate() {
            if let Some(marker) = slot.marker.as_mut()
                && index != placed
                && marker.unseen == 0
                && marker.is_followed()
                && marker.shown(marker.at).distance_px(at) < APART_PX
            {
                marker.coast(marker.at, UNKNOWN_PX2);
            }
        }
    }

    /// How the neighbours of a marker at a place move, near ones weighing more; where none is seen, how all others do.
    fn shared_velocity(&self, marker: usize, at: Pixel) -> Option<(f64, f64)> {
        let neighbours = self.body.neighbours(marker).map(|(other, _)| other);
        let others = (0..self.markers.len()).filter(|other| *other != marker);
        self.mean_velocity(neighbours, at).or_else(|| self.mean_velocity(others, at))
    }

    fn mean_velocity(&self, of: impl Iterator<Item = usize>, at: Pixel) -> Option<(f64, f64)> {
        let (mut x, mut y, mut total) = (0.0, 0.0, 0.0);
        let seen = of.filter_map(|index| self.markers.get(index)?.marker.as_ref());
        for marker in seen.filter(|m| m.unseen == 0 && m.is_followed()) {
            let (dx, dy) = marker.at.from(at);
            let weight = 1.0 / (dx * dx + dy * dy + 1.0);
            let (vx, vy) = marker.velocity_px;
            (x, y, total) = (x + weight * vx, y + weight * vy, total + weight);
        }
        (total > 0.0).then_some((x / total, y / total))
    }

    /// Tells the pass that a person placed this marker in the frame just taken: an anchor to go on from.
    pub fn anchor(&mut self, frame: GreyFrame<'_>, marker: usize, at: Pixel) {
        let shared = self.shared_velocity(marker, at);
        let places: Vec<Option<Pixel>> =
            self.markers.iter().map(|s| s.marker.as_ref().map(|m| m.at)).collect();
        let bands = self.body.in_front(marker, &places);
        if let Some(slot) = self.markers.get_mut(marker) {
            slot.at = at;
            let lately = slot.placed.replace((at, 0)).filter(|(_, n)| (1..=LATELY).contains(n));
            let between = lately.map(|(before, frames)| {
                let (dx, dy) = at.from(before);
                (dx / f64::from(frames), dy / f64::from(frames))
            });
            if !is_inside(at, self.size_px) {
                slot.marker = None;
                return;
            }
            self.body.place(marker, at);
            let old = slot.marker.as_ref();
            let off_px = old.map_or(f64::INFINITY, |m| m.shown(m.at).distance_px(at));
            let was_right = old.is_some_and(|m| m.unseen == 0 && off_px < KNOWN_PX);
            let shared =
                between.or(shared).map(|velocity_px| Motion { velocity_px, spin_rad: 0.0 });
            let own = old.map(Marker::motion);
            let motion = if off_px > ELSEWHERE_PX { shared.or(own) } else { own };
            slot.marker = Marker::place(frame, at, slot.mode, bands);
            if let (Some(marker), Some(motion)) = (&mut slot.marker, motion) {
                marker.goes_on(motion, was_right);
            }
            self.give_way(marker, at);
        }
    }
}

/// What tells of a chosen place that it may be off.
fn signs(
    body: &Body,
    (index, marker): (usize, &Marker),
    (chosen, expected): (&Candidate, &Expected),
    places: &[Option<Pixel>],
) -> Signs {
    Signs {
        lack_ratio: f64::from((1.0 - chosen.correlation).max(0.0)),
        blame_ratio: f64::from(body.blame(index, chosen.at, places)),
        away_ratio: chosen.at.distance_px(expected.at) / expected.sigma_px,
        strain_ratio: body.strain(index, chosen.at, places),
        drift_px: chosen.soft.drift_px2.sqrt(),
        gap_ratio: marker.memory.gap_ratio,
        torn_ratio: body.torn_ratio(index, (marker.at, chosen.at), places),
        unknown_ratio: marker.memory.unknown_ratio,
        alone_ratio: body.alone_ratio(index, places).unwrap_or(0.0),
        ..Signs::default()
    }
}

/// What tells of a marker that was not found that where it is carried may be off.
fn signs_unseen(body: &Body, (index, marker): (usize, &Marker), places: &[Option<Pixel>]) -> Signs {
    Signs {
        alone_ratio: body.alone_ratio(index, places).unwrap_or(1.0),
        unseen_ratio: f64::from(marker.unseen) / 10.0,
        spread_px: marker.spread_px2.sqrt(),
        ..Signs::default()
    }
}

/// Where a marker goes that is not seen, with the variance of that: as it moved, as its neighbours or the trunk
/// carry it, where it lies between them, at its limbs' lengths.
fn unseen_place(
    body: &Body,
    (index, marker): (usize, &Marker),
    expected: &Expected,
    places: &[Option<Pixel>],
) -> (Pixel, f64) {
    let own = expected.sigma_px * expected.sigma_px;
    let carried = body.carried(index, marker.at, places).map(|(at, px2)| (at, CARRIED_SHARE * px2));
    let borne = carried.or_else(|| body.along_trunk(index, marker.at, places));
    let moved = borne.map_or((expected.at, own), |borne| drawn((expected.at, own), borne));
    let free = (moved.0, marker.spread_px2 + moved.1);
    let firm = body.firm_place(index, places);
    let (at, spread) = firm.map_or(free, |firm| drawn(free, firm));
    let held = body.held(index, (at, spread), places);
    (if is_placed(held) { held } else { marker.at }, spread)
}

/// The mean of two places, each weighing by one over its variance, and its variance.
fn drawn((a, a_px2): (Pixel, f64), (b, b_px2): (Pixel, f64)) -> (Pixel, f64) {
    let share = a_px2 / (a_px2 + b_px2);
    let (dx, dy) = b.from(a);
    (a.moved(share * dx, share * dy), share * b_px2)
}
