//! A sticker: held to how it looked when it was placed, in shape and in colour.

use super::super::marker::{Before, Expected, flow_both_ways, merit, radius};
use super::LookScratch;
use super::candidate::{Candidate, offer};
use super::hue::Hue;
use super::standing::Standing;
use crate::image::{GreyFrame, Pixel, Region};
use crate::point::{AffineFitter, AffineScratch, Fitter, Template};

/// Where no round edge is found: a disc of 13 pixels holds a sticker of 8 to 12 and little of what is behind it.
const HALF_PX: usize = 6;
/// Chosen: of the radius of a sticker's edge, so that its rim is in the disc and what turns about it is not.
const RIM: f32 = 1.5;
/// A place that the flow from the frame before leads to as well.
const AGREES_PX: f64 = 1.5;
/// Chosen: what that is worth, in correlation.
const FLOWS: f32 = 0.06;
/// No other place has more merit: none is more alike than wholly, and only one has what flowing there is worth. It need
/// not be looked for, which is a fifth of the time of following stickers.
const UNSURPASSED: f32 = 1.0;
/// Chosen: weight of the last look against that of the placed template.
const RECENT: f32 = 0.35;
/// Chosen: below this correlation the best place is settled once more as turned, stretched and slanted too. 95 % of
/// places were then within 0.21 and 0.26 px where they had been within 0.29 and 0.37, in two clips.
const CHANGED: f32 = 0.95;
/// Chosen: and it is moved by so much at most, as what is further is something else.
const NEAR_PX: f64 = 0.75;

/// What a sticker looks like.
#[derive(Clone, Debug)]
pub(in crate::track) struct Sticker {
    /// What a person showed.
    placed: Fitter,
    /// The same where it may be seen otherwise; `None` where it is too even for that.
    changed: Option<AffineFitter>,
    /// Its colour; `None` in pictures without.
    hue: Option<Hue>,
    /// What it looked like when it was last seen, with two pixels more about it.
    recent: Option<Fitter>,
}

impl Sticker {
    /// A sticker and its middle; `None` where there is nothing to hold on to.
    ///
    /// Its template is taken about its middle and as large as it is.
    pub fn place(
        frame: GreyFrame<'_>,
        standing: &Standing,
        placed: Pixel,
    ) -> Option<(Self, Pixel)> {
        let (at, half, radius_px) = match standing.ring {
            Some(ring) => (ring.middle, (RIM * ring.radius_px + 0.5) as usize, ring.radius_px),
            None => (placed, HALF_PX, HALF_PX as f32),
        };
        let placed = Template::take(&standing.region, at, half).and_then(Fitter::new)?;
        let changed = AffineFitter::new(placed.template().clone());
        let hue = Hue::of(frame, at, f64::from(radius_px));
        Some((Self { placed, changed, hue, recent: None }, at))
    }

    /// Whether its colour is known, so that pictures with colour say more of it.
    pub fn has_colour(&self) -> bool {
        self.hue.is_some()
    }

    pub fn half_px(&self) -> usize {
        self.placed.template().half_px()
    }

    /// The places where it may be, best first.
    pub fn candidates(
        &self,
        frame: GreyFrame<'_>,
        (before, expected): (&Before<'_>, &Expected),
        scratch: &mut LookScratch,
    ) -> Vec<Candidate> {
        let mut found = Vec::new();
        let mut window = Vec::new();
        let region = &expected.region;
        let flowed = flow_both_ways(before, expected, self.half_px(), &mut scratch.flow);
        let ahead = (frame, expected, flowed);
        let at_flow = flowed.and_then(|at| self.near(ahead, (at, 2.0), &mut window));
        found.extend(at_flow);
        if !at_flow.is_some_and(|there| there.merit >= UNSURPASSED) {
            let (x, y) = region.local(expected.at, 0);
            let (cx, cy) = ((x + 0.5) as usize, (y + 0.5) as usize);
            let reach = radius(expected.sigma_px);
            let scores = self.placed.template().search(region.level(0), cx, cy, reach);
            for peak in scores.iter().flat_map(|scores| scores.peaks(0.4, 8)) {
                let guess = region.global(cx as f32 + peak.dx_px, cy as f32 + peak.dy_px);
                let there = self.near(ahead, (guess, 1.5), &mut window);
                there.into_iter().for_each(|there| offer(&mut found, there));
            }
        }
        found.sort_by(|a, b| b.merit.total_cmp(&a.merit));
        if let Some(best) = found.first_mut() {
            best.at = self.settled(region, best.at, &mut window, &mut scratch.changed);
        }
        found
    }

    /// What speaks for the place that is most like the sticker near a guess.
    fn near(
        &self,
        (frame, expected, flowed): (GreyFrame<'_>, &Expected, Option<Pixel>),
        (guess, reach_px): (Pixel, f32),
        window: &mut Vec<f32>,
    ) -> Option<Candidate> {
        let region = &expected.region;
        let fit = self.placed.settle(region, guess, reach_px, window)?;
        let flows = flowed.is_some_and(|at| at.distance_px(fit.at) < AGREES_PX);
        let recent = self.recent.as_ref().and_then(|r| r.look(region, fit.at, window));
        let alike = recent.map_or(fit.correlation, |r| {
            fit.correlation + RECENT * (r.correlation - fit.correlation)
        });
        let lack = self.hue.map_or(0.0, |hue| hue.lack(frame, fit.at));
        let merit =
            merit(alike - lack, fit.gain_ratio, fit.at, expected) + if flows { FLOWS } else { 0.0 };
        Some(Candidate::still(fit.at, fit.correlation - lack, merit))
    }

    /// Where a place is once it may be turned, stretched and slanted against how the sticker was placed.
    fn settled(
        &self,
        region: &Region,
        at: Pixel,
        window: &mut Vec<f32>,
        scratch: &mut AffineScratch,
    ) -> Pixel {
        let unchanged = self.placed.look(region, at, window).map_or(1.0, |fit| fit.correlation);
        let fit = self.changed.as_ref().filter(|_| unchanged < CHANGED);
        let fit = fit.and_then(|c| c.settle(region, at, NEAR_PX, scratch));
        fit.filter(|fit| fit.correlation > unchanged).map_or(at, |fit| fit.at)
    }

    /// Remembers how it looks where it was found.
    pub fn take(&mut self, at: Pixel, region: &Region) {
        self.recent = Template::take(region, at, self.half_px() + 2).and_then(Fitter::new);
    }
}
