//! One marker: what it looks like, how it moves, and where it may be in the next frame.

use super::candidate::{Candidate, offer};
use super::follower::Mode;
use super::skin::{self, Skin, SkinScratch};
use crate::image::{GreyFrame, Pixel, Region};
use crate::point::{Fitter, Scratch, Template, Turn, flow, ring_near};

/// Where no round edge is found: a disc of 13 pixels holds a sticker of 8 to 12 and little of what is behind it.
const STICKER_HALF_PX: usize = 6;
/// Chosen: of the radius of a sticker's edge, so that its rim is in the disc and what turns about it is not.
const RIM: f32 = 1.5;
/// A click lands so near to the middle of its sticker.
const CLICK_PX: usize = 5;
/// Half the side of the piece of picture kept, before the search is added.
const REGION_HALF_PX: usize = 32;
/// The furthest that is ever searched about the prediction.
const FURTHEST_PX: f64 = 48.0;
/// Lucas-Kanade there and back again may miss its start by so much.
const CLOSING_PX: f64 = 1.5;

/// A place that the flow from the frame before leads to as well.
const AGREES_PX: f64 = 1.5;
/// Chosen: what that is worth, in correlation.
const FLOWS: f32 = 0.06;
/// Chosen: weight of the last look against that of the placed template.
const RECENT: f32 = 0.35;

/// What is known of a marker between two frames.
#[derive(Clone, Debug)]
pub(super) struct Marker {
    /// What a person showed.
    pub placed: Fitter,
    /// The middle of what is followed.
    pub at: Pixel,
    offset_px: (f64, f64),
    pub velocity_px: (f64, f64),
    /// Frames since it was last seen.
    pub unseen: u32,
    region: Region,
    /// What it looked like when it was last seen, with two pixels more about it.
    recent: Option<Fitter>,
    /// Of skin and cloth.
    skin: Option<Skin>,
    /// How long the marker has been followed, to tell a first guess of its velocity from a known one.
    age: u32,
}

/// What a marker expects of a frame.
pub(super) struct Expected {
    pub at: Pixel,
    /// Standard deviation of the expectation.
    pub sigma_px: f64,
    pub region: Region,
}

impl Marker {
    /// A marker as placed; `None` where there is nothing to hold on to.
    ///
    /// A sticker's template is taken about its middle and as large as it is; the way from there to where the
    /// person pointed is kept.
    pub fn place(frame: GreyFrame<'_>, placed: Pixel, mode: Mode) -> Option<Self> {
        let region = Region::around(frame, placed, REGION_HALF_PX + skin::HALF_PX);
        let (at, half) = match mode {
            Mode::Skin => (placed, skin::HALF_PX),
            Mode::Sticker => match ring_near(&region, placed, CLICK_PX) {
                Some(ring) => (ring.middle, (RIM * ring.radius_px + 0.5) as usize),
                None => (placed, STICKER_HALF_PX),
            },
        };
        let fitter = Template::take(&region, at, half).and_then(Fitter::new)?;
        let skin = match mode {
            Mode::Skin => Some(Skin::place(&region, at)?),
            Mode::Sticker => None,
        };
        let (velocity_px, offset_px) = ((0.0, 0.0), placed.from(at));
        Some(Self {
            placed: fitter,
            at,
            offset_px,
            velocity_px,
            unseen: 0,
            region,
            recent: None,
            skin,
            age: 0,
        })
    }

    /// What a person would point at when the marker's middle is here.
    pub fn shown(&self, at: Pixel) -> Pixel {
        at.moved(self.offset_px.0, self.offset_px.1)
    }

    /// Where the marker should be in the next frame, and the picture about it.
    pub fn expectation(&self, frame: GreyFrame<'_>) -> Expected {
        let (vx, vy) = self.velocity_px;
        let at = self.at.moved(vx, vy);
        let speed = (vx * vx + vy * vy).sqrt();
        let first = if self.age == 0 { 6.0 } else { 0.0 };
        let sigma_px = 2.5 + 0.25 * speed + first + 1.5 * f64::from(self.unseen);
        let half = REGION_HALF_PX + radius(sigma_px) + self.placed.template().half_px();
        Expected { at, sigma_px, region: Region::around(frame, at, half) }
    }

    /// The places where the marker may be, best first.
    pub fn candidates(&self, expected: &Expected, scratch: &mut SkinScratch) -> Vec<Candidate> {
        if let Some(skin) = &self.skin {
            return skin.candidates((&self.region, self.at, self.unseen), expected, scratch);
        }
        let scratch = &mut scratch.flow;
        let mut found = Vec::new();
        let mut window = Vec::new();
        let region = &expected.region;
        let flowed = if self.unseen == 0 { self.flow_both_ways(expected, scratch) } else { None };
        let mut consider = |guess: Pixel, reach_px: f32| {
            if let Some(fit) = self.placed.settle(region, guess, reach_px, &mut window) {
                let flows = flowed.is_some_and(|at| at.distance_px(fit.at) < AGREES_PX);
                let recent = self.recent.as_ref().and_then(|r| r.look(region, fit.at, &mut window));
                let alike = recent.map_or(fit.correlation, |r| {
                    fit.correlation + RECENT * (r.correlation - fit.correlation)
                });
                let merit = merit(alike, fit.gain_ratio, fit.at, expected)
                    + if flows { FLOWS } else { 0.0 };
                let at = fit.at;
                let (correlation, gain_ratio) = (fit.correlation, fit.gain_ratio);
                let (turn, variance_px2) = (Turn::NONE, 0.0);
                offer(
                    &mut found,
                    Candidate { at, correlation, gain_ratio, merit, turn, variance_px2 },
                );
            }
        };
        if let Some(at) = flowed {
            consider(at, 2.0);
        }
        let (x, y) = region.local(expected.at, 0);
        let (cx, cy) = ((x + 0.5) as usize, (y + 0.5) as usize);
        let reach = radius(expected.sigma_px);
        if let Some(scores) = self.placed.template().search(region.level(0), cx, cy, reach) {
            for peak in scores.peaks(0.4, 8) {
                consider(region.global(cx as f32 + peak.dx_px, cy as f32 + peak.dy_px), 1.5);
            }
        }
        found.sort_by(|a, b| b.merit.total_cmp(&a.merit));
        found
    }

    fn flow_both_ways(&self, expected: &Expected, scratch: &mut Scratch) -> Option<Pixel> {
        let half = self.placed.template().half_px();
        let there = flow((&self.region, self.at), (&expected.region, expected.at), half, scratch)?;
        let back = flow((&expected.region, there), (&self.region, self.at), half, scratch)?;
        (back.distance_px(self.at) < CLOSING_PX).then_some(there)
    }

    /// Takes a seen place as where the marker is now.
    pub fn take(&mut self, candidate: &Candidate, region: Region, scratch: &mut SkinScratch) {
        let at = candidate.at;
        if let Some(skin) = &mut self.skin {
            skin.take(candidate, &region, scratch);
        }
        if self.unseen == 0 {
            self.velocity_px = at.from(self.at);
        } else {
            // The path since it was last seen is not known, only its two ends.
            let (dx, dy) = at.from(self.at);
            self.velocity_px = (self.velocity_px.0 + 0.3 * dx, self.velocity_px.1 + 0.3 * dy);
        }
        if self.skin.is_none() {
            let half = self.placed.template().half_px() + 2;
            self.recent = Template::take(&region, at, half).and_then(Fitter::new);
        }
        self.at = at;
        self.region = region;
        self.unseen = 0;
        self.age += 1;
    }

    /// Its motion and turn from frame to frame.
    pub fn velocity(&self) -> ((f64, f64), f64) {
        (self.velocity_px, self.skin.as_ref().map_or(0.0, |s| s.spin_rad))
    }

    /// Goes on as it moved before it was placed again.
    pub fn goes_on(&mut self, (velocity_px, spin_rad): ((f64, f64), f64)) {
        self.velocity_px = velocity_px;
        self.age = 1;
        if let Some(skin) = &mut self.skin {
            skin.spin_rad = spin_rad;
        }
    }

    /// Goes on unseen to a place.
    pub fn coast(&mut self, at: Pixel) {
        if let Some(skin) = &mut self.skin {
            skin.coast();
        }
        self.velocity_px = at.from(self.at);
        self.at = at;
        self.unseen += 1;
        self.age += 1;
    }
}

pub(super) fn radius(sigma_px: f64) -> usize {
    (3.5 * sigma_px).clamp(8.0, FURTHEST_PX) as usize
}

/// Correlation less what a strange contrast and a far place cost.
pub(super) fn merit(correlation: f32, gain_ratio: f32, at: Pixel, expected: &Expected) -> f32 {
    let away = at.distance_px(expected.at) / expected.sigma_px;
    let far = 0.04 * (away * away).min(20.0);
    let odd = (0.5 - gain_ratio).max(0.0) + 0.3 * (gain_ratio - 1.8).max(0.0);
    correlation - far as f32 - odd
}
