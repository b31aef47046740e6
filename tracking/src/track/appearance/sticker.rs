//! A sticker: held to how it looked when it was placed, in shape and in colour.

use super::colour_check::ColourCheck;
use super::colour_discriminant::Discriminant;
use super::scratch::AppearanceScratch;
use crate::image::{GreyFrame, ImagePoint, Region};
use crate::point::{AffineFitter, AffineScratch, Fitter, Template};
use crate::scales::STICKER_HALF_PX;
use crate::track::candidate::{Candidate, offer};
use crate::track::cost::{ImageEvidence, image_merit, sticker_similarity};
use crate::track::prediction::{Prediction, Previous, flow_both_ways, is_at_flow};

/// Radius of the template, of the radius of a sticker's edge.
///
/// Chosen: so that the rim is in the disc and what turns about it is not.
const TEMPLATE_RATIO: f32 = 1.5;
/// Merit at the flow above which no other place is searched for.
///
/// Chosen: none is more alike than wholly, and only one has what flowing there is worth. It saves a fifth of the time of
/// following stickers.
const UNSURPASSED: f32 = 1.0;
/// Least correlation of a place that a search finds, and how many of them are settled.
///
/// Chosen: what the best wrong place usually has; by trial on the worked clips, no record.
const SEARCH_LEAST: f32 = 0.4;
/// See [`SEARCH_LEAST`].
///
/// Chosen: for time; by trial on the worked clips, no record.
const SEARCH_PLACES: usize = 8;
/// How far a place that the flow found is settled.
///
/// Chosen: by trial on the worked clips, no record. Truly of pixels.
const FLOW_REACH_PX: f32 = 2.0;
/// How far a place that the search found is settled.
///
/// Chosen: a pixel each way and a half. Truly of pixels.
const SEARCH_REACH_PX: f32 = 1.5;
/// Correlation below which the best place is settled once more under an affine change.
///
/// Chosen: 95 % of places were then within 0.21 and 0.26 px instead of 0.29 and 0.37, in two clips.
const CHANGED: f32 = 0.95;
/// How far the affine change moves it.
///
/// Chosen: what is further is something else; by trial on the worked clips, no record. Truly of pixels.
const AFFINE_REACH_PX: f64 = 0.75;
/// What the latest template is larger than the placed one.
///
/// Chosen: by trial on the worked clips, no record.
const RECENT_MARGIN_PX: usize = 2;

/// What a sticker looks like.
#[derive(Clone, Debug)]
pub(in crate::track) struct Sticker {
    /// What the user placed.
    placed: Fitter,
    /// The same under an affine change; `None` if it is too even for that.
    affine: Option<AffineFitter>,
    /// Its colour; `None` in pictures without.
    colour: Option<ColourCheck>,
    /// Its appearance when it was last seen.
    recent: Option<Fitter>,
}

/// A frame in which a sticker is searched for.
#[derive(Clone, Copy)]
struct SearchedFrame<'a> {
    frame: GreyFrame<'a>,
    prediction: &'a Prediction,
    /// Where the flow leads.
    flowed: Option<ImagePoint>,
}

impl Sticker {
    /// A sticker and its centre; `None` if its picture determines no place.
    ///
    /// Its template is taken about its centre and is as large as it is.
    pub fn place(
        frame: GreyFrame<'_>,
        discriminant: &Discriminant,
        placed: ImagePoint,
    ) -> Option<(Self, ImagePoint)> {
        let (at, half, radius_px) = match discriminant.blob {
            Some(blob) => {
                // Exact: a half rounds.
                let half = (TEMPLATE_RATIO * blob.radius_px + 0.5) as usize;
                (blob.centre, half, blob.radius_px)
            }
            None => (placed, STICKER_HALF_PX, STICKER_HALF_PX as f32),
        };
        let placed = Template::take(&discriminant.region, at, half).and_then(Fitter::new)?;
        let affine = AffineFitter::new(placed.template().clone());
        let colour = ColourCheck::of(frame, at, f64::from(radius_px));
        Some((Self { placed, affine, colour, recent: None }, at))
    }

    /// Whether its colour is known, so that a picture with colour says more of it.
    pub fn has_colour(&self) -> bool {
        self.colour.is_some()
    }

    /// Half the side of its template.
    pub fn half_px(&self) -> usize {
        self.placed.template().half_px()
    }

    /// The places where it may be, best first.
    pub fn candidates(
        &self,
        frame: GreyFrame<'_>,
        previous: &Previous<'_>,
        prediction: &Prediction,
        scratch: &mut AppearanceScratch,
    ) -> Vec<Candidate> {
        let mut found = Vec::new();
        let mut window = Vec::new();
        let region = &prediction.region;
        let flowed = flow_both_ways(previous, prediction, self.half_px(), &mut scratch.flow);
        let ahead = SearchedFrame { frame, prediction, flowed };
        let at_flow = flowed.and_then(|at| self.near(ahead, at, FLOW_REACH_PX, &mut window));
        found.extend(at_flow);
        if !at_flow.is_some_and(|there| there.image_merit >= UNSURPASSED) {
            let (x, y) = region.local(prediction.at, 0);
            let (cx, cy) = ((x + 0.5) as usize, (y + 0.5) as usize);
            let radius_px = prediction.search_radius_px();
            let scores = self.placed.template().search(region.level(0), cx, cy, radius_px);
            let peaks = scores.iter().flat_map(|scores| scores.peaks(SEARCH_LEAST, SEARCH_PLACES));
            for peak in peaks {
                let guess = region.global(cx as f32 + peak.dx_px, cy as f32 + peak.dy_px);
                let there = self.near(ahead, guess, SEARCH_REACH_PX, &mut window);
                there.into_iter().for_each(|there| offer(&mut found, there));
            }
        }
        found.sort_by(|a, b| b.image_merit.total_cmp(&a.image_merit));
        if let Some(best) = found.first_mut() {
            best.at = self.refined(region, best.at, &mut window, &mut scratch.affine);
        }
        found
    }

    /// The place that is most like the sticker near a guess.
    fn near(
        &self,
        SearchedFrame { frame, prediction, flowed }: SearchedFrame<'_>,
        guess: ImagePoint,
        reach_px: f32,
        window: &mut Vec<f32>,
    ) -> Option<Candidate> {
        let region = &prediction.region;
        let fit = self.placed.settle(region, guess, reach_px, window)?;
        let recent = self.recent.as_ref().and_then(|r| r.evaluate(region, fit.at, window));
        let deficit = self.colour.map_or(0.0, |colour| colour.deficit(frame, fit.at));
        let evidence = ImageEvidence {
            similarity: sticker_similarity(fit.correlation, recent.map(|r| r.correlation), deficit),
            contrast_ratio: fit.gain_ratio,
            innovation_ratio: prediction.innovation_ratio(fit.at),
            is_at_flow: is_at_flow(flowed, fit.at),
        };
        let merit = image_merit(&evidence);
        Some(Candidate::of_sticker(fit.at, fit.correlation - deficit, merit))
    }

    /// A place settled under an affine change, if the sticker does not look as it was placed.
    fn refined(
        &self,
        region: &Region,
        at: ImagePoint,
        window: &mut Vec<f32>,
        scratch: &mut AffineScratch,
    ) -> ImagePoint {
        let unchanged = self.placed.evaluate(region, at, window).map_or(1.0, |f| f.correlation);
        let fitter = self.affine.as_ref().filter(|_| unchanged < CHANGED);
        let fit = fitter.and_then(|f| f.settle(region, at, AFFINE_REACH_PX, scratch));
        fit.filter(|fit| fit.correlation > unchanged).map_or(at, |fit| fit.at)
    }

    /// Remembers its appearance at the place where it was found.
    pub fn take(&mut self, at: ImagePoint, region: &Region) {
        let half_px = self.half_px() + RECENT_MARGIN_PX;
        self.recent = Template::take(region, at, half_px).and_then(Fitter::new);
    }
}
