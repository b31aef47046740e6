//! One marker: what it looks like, how it moves, and where it may be in the next frame.

use super::candidate::{Candidate, offer};
use super::follower::Mode;
use crate::image::{GreyFrame, Pixel, Region};
use crate::point::{Fitter, Scratch, Template, flow, ring_near};

/// Where no round edge is found: a disc of 13 pixels holds a sticker of 8 to 12 and little of what is behind it.
const STICKER_HALF_PX: usize = 6;
/// Chosen: of the radius of a sticker's edge, so that its rim is in the disc and what turns about it is not.
const RIM: f32 = 1.5;
/// A click lands so near to the middle of its sticker.
const CLICK_PX: usize = 5;
/// Chosen: skin has only weak texture, so more of it.
const SKIN_HALF_PX: usize = 10;
/// Half the side of the piece of picture kept, before the search is added.
const REGION_HALF_PX: usize = 32;
/// The furthest that is ever searched about the prediction.
const FURTHEST_PX: f64 = 48.0;
/// Lucas-Kanade there and back again may miss its start by so much.
const CLOSING_PX: f64 = 1.5;

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
        let region = Region::around(frame, placed, REGION_HALF_PX + SKIN_HALF_PX);
        let (at, half) = match mode {
            Mode::Skin => (placed, SKIN_HALF_PX),
            Mode::Sticker => match ring_near(&region, placed, CLICK_PX) {
                Some(ring) => (ring.middle, (RIM * ring.radius_px + 0.5) as usize),
                None => (placed, STICKER_HALF_PX),
            },
        };
        let fitter = Template::take(&region, at, half).and_then(Fitter::new)?;
        let (velocity_px, offset_px) = ((0.0, 0.0), placed.from(at));
        Some(Self { placed: fitter, at, offset_px, velocity_px, unseen: 0, region, age: 0 })
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
    pub fn candidates(&self, expected: &Expected, scratch: &mut Scratch) -> Vec<Candidate> {
        let mut found = Vec::new();
        let mut window = Vec::new();
        let region = &expected.region;
        let mut consider = |guess: Pixel, reach_px: f32| {
            if let Some(fit) = self.placed.settle(region, guess, reach_px, &mut window) {
                let merit = merit(fit.correlation, fit.gain_ratio, fit.at, expected);
                let at = fit.at;
                let (correlation, gain_ratio) = (fit.correlation, fit.gain_ratio);
                offer(&mut found, Candidate { at, correlation, gain_ratio, merit });
            }
        };
        if self.unseen == 0
            && let Some(at) = self.flow_both_ways(expected, scratch)
        {
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
    pub fn take(&mut self, at: Pixel, region: Region) {
        if self.unseen == 0 {
            self.velocity_px = at.from(self.at);
        } else {
            // The path since it was last seen is not known, only its two ends.
            let (dx, dy) = at.from(self.at);
            self.velocity_px = (self.velocity_px.0 + 0.3 * dx, self.velocity_px.1 + 0.3 * dy);
        }
        self.at = at;
        self.region = region;
        self.unseen = 0;
        self.age += 1;
    }

    /// Goes on unseen to a place.
    pub fn coast(&mut self, at: Pixel) {
        self.velocity_px = at.from(self.at);
        self.at = at;
        self.unseen += 1;
        self.age += 1;
    }
}

fn radius(sigma_px: f64) -> usize {
    (3.5 * sigma_px).clamp(8.0, FURTHEST_PX) as usize
}

/// Correlation less what a strange contrast and a far place cost.
fn merit(correlation: f32, gain_ratio: f32, at: Pixel, expected: &Expected) -> f32 {
    let away = at.distance_px(expected.at) / expected.sigma_px;
    let far = 0.02 * (away * away).min(20.0);
    let odd = (0.5 - gain_ratio).max(0.0) + 0.3 * (gain_ratio - 1.8).max(0.0);
    correlation - far as f32 - odd
}
