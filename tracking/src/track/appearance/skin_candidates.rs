//! The places where skin or cloth may be: fits from several guesses, each drawn to where the reference patches have it.

use super::occlusion_mask::{is_open, visible_behind, visible_weights};
use super::patch_search::{SearchArea, search_patches};
use super::scratch::AppearanceScratch;
use super::skin::{Reference, Skin};
use crate::image::{ImagePoint, Region};
use crate::point::{AlignmentStart, Patch, Pose, PosePrior, RigidFit, RigidScratch};
use crate::scales::{DRIFT_PX2_PER_FRAME, SKIN_SEARCH_HALF_PX};
use crate::track::candidate::{Candidate, SkinPose, offer};
use crate::track::cost::{ImageEvidence, image_merit, skin_similarity};
use crate::track::prediction::{Prediction, Previous, flow_both_ways, is_at_flow};

/// Share of the prediction's deviation within which it holds a fit.
///
/// Chosen: by trial on the worked clips, no record; so are the next three.
const PRIOR_RATIO: f64 = 0.5;
/// Standard deviation of the rotation at rest.
///
/// Chosen: see [`PRIOR_RATIO`].
const ROTATION_RAD: f64 = 0.06;
/// What it has besides, as a share of the rotation from frame to frame.
///
/// Chosen: see [`PRIOR_RATIO`].
const ROTATION_PER_SPIN: f64 = 0.3;
/// And for each frame unseen.
///
/// Chosen: see [`PRIOR_RATIO`].
const ROTATION_RAD_PER_UNSEEN_FRAME: f64 = 0.02;
/// Correlation of a fit at the flow that needs no search.
///
/// Chosen: by trial on the worked clips, no record.
const SURE: f32 = 0.82;
/// Fits, the best ones by the running mean, that are compared with the references.
///
/// Chosen: for time; by trial on the worked clips, no record.
const JUDGED: usize = 3;
/// A guess so near to a fit would lead there too.
///
/// Chosen: saves a tenth of the time of following at 1080p, for as many corrections (8.8 for 9.0 in a hundred frames of 22
/// clips, three starts each). Truly of pixels.
const SAME_GUESS_PX: f64 = 1.0;
/// Two fits so near to each other are one.
///
/// Chosen: by trial on the worked clips, no record. Truly of pixels.
const SAME_FIT_PX: f64 = 0.5;
/// How far a fit goes from the prediction and from the flow.
///
/// Chosen: by trial on the worked clips, no record.
const GUESS_REACH_PX: f64 = 4.0;
/// How far a fit goes from a place that the search found.
///
/// Chosen: by trial on the worked clips, no record.
const SEARCH_REACH_PX: f64 = 2.0;
/// How far a reference is from a place, at most and by standard deviation.
///
/// Chosen: by trial on the worked clips, no record; so are the next.
const REFERENCE_REACH_PX: f64 = 5.0;
/// See [`REFERENCE_REACH_PX`].
///
/// Chosen: as it.
const REFERENCE_PX: f64 = 2.0;
/// Standard deviation of its rotation from that of a place.
///
/// Chosen: see [`REFERENCE_REACH_PX`].
const REFERENCE_RAD: f64 = 0.1;
/// Least correlation of a reference that says something of a place.
///
/// Chosen: see [`REFERENCE_REACH_PX`].
const REFERENCE_LEAST: f32 = 0.6;
/// Decorrelation that doubles the variance of a reference's place.
///
/// Chosen: see [`REFERENCE_REACH_PX`].
const REFERENCE_DECORRELATION: f64 = 0.07;
/// References that are compared with a fit, besides the placed one.
///
/// Chosen: for time; by trial on the worked clips, no record.
const COMPARED: usize = 2;
/// Squared standard deviations within which a reference draws a place.
///
/// Chosen: three deviations.
const REFERENCE_LIMIT: f64 = 9.0;
/// Variance of a reference's place besides that of its fit.
///
/// Chosen: by trial on the worked clips, no record.
const REFERENCE_PX2: f64 = 0.05;
/// Share of a fit's own variance that following from frame to frame adds.
///
/// Chosen: by trial on the worked clips, no record.
const STEP_RATIO: f64 = 0.1;
/// What is added to a hold, so that a patch without texture has a large variance and no infinite one; and the least
/// determinant.
///
/// Chosen: a hundred pixels each way.
const LEAST_HOLD_PER_PX2: f64 = 1e-4;
/// See [`LEAST_HOLD_PER_PX2`].
///
/// Chosen: as it.
const LEAST_DETERMINANT: f64 = 1e-7;

/// What all fits of one frame share.
struct SearchedFrame<'a> {
    previous: &'a Previous<'a>,
    prediction: &'a Prediction,
    prior: PosePrior,
    /// Where the flow leads.
    flowed: Option<ImagePoint>,
}

/// A patch, where its fit begins, and how far that may go.
struct Guess<'a> {
    patch: &'a Patch,
    at: ImagePoint,
    reach_px: f64,
}

impl Skin {
    /// The places where the marker may be, best first.
    pub fn candidates(
        &self,
        previous: &Previous<'_>,
        prediction: &Prediction,
        scratch: &mut AppearanceScratch,
    ) -> Vec<Candidate> {
        let prior = self.prior(previous, prediction);
        // Flow follows what is in front.
        let flowed =
            if self.visible.is_none() && is_open(previous.in_front, prior.pose, self.half_px) {
                flow_both_ways(previous, prediction, self.half_px, &mut scratch.flow)
            } else {
                None
            };
        let ahead = SearchedFrame { previous, prediction, prior, flowed };
        let mut fits = self.fits(&ahead, &mut scratch.rigid);
        let merit = |fit: &RigidFit| ahead.merit(fit, fit.correlation, fit.pose.at);
        fits.sort_by(|a, b| merit(b).total_cmp(&merit(a)));
        let mut found = Vec::new();
        for fit in fits.into_iter().take(JUDGED) {
            offer(&mut found, self.judge(&fit, &ahead, &mut scratch.rigid));
        }
        found.sort_by(|a, b| b.image_merit.total_cmp(&a.image_merit));
        found
    }

    /// The predicted pose, with its deviations.
    fn prior(&self, previous: &Previous<'_>, prediction: &Prediction) -> PosePrior {
        PosePrior {
            pose: Pose { at: prediction.at, rotation: self.predicted_rotation() },
            place_px: PRIOR_RATIO * prediction.sigma_px,
            rotation_rad: ROTATION_RAD
                + ROTATION_PER_SPIN * self.spin_rad().abs()
                + ROTATION_RAD_PER_UNSEEN_FRAME * f64::from(previous.unseen),
        }
    }

    /// Fits from the prediction and the flow; unless one is sure, of the latest appearance too, and from a search.
    fn fits(&self, ahead: &SearchedFrame<'_>, scratch: &mut RigidScratch) -> Vec<RigidFit> {
        let mut fits: Vec<RigidFit> = Vec::new();
        let guesses = [Some(ahead.prediction.at), ahead.flowed].into_iter().flatten();
        for at in guesses.clone() {
            let guess = Guess { patch: &self.running_mean, at, reach_px: GUESS_REACH_PX };
            self.fit_from(&guess, ahead, &mut fits, scratch);
        }
        let sure = |fit: &RigidFit| fit.correlation > SURE && is_at_flow(ahead.flowed, fit.pose.at);
        if !fits.iter().any(sure) {
            // It may have changed faster than the running mean shows.
            for at in guesses {
                let guess = Guess { patch: &self.latest, at, reach_px: GUESS_REACH_PX };
                self.fit_from(&guess, ahead, &mut fits, scratch);
            }
            for at in self.search(ahead) {
                let guess = Guess { patch: &self.latest, at, reach_px: SEARCH_REACH_PX };
                self.fit_from(&guess, ahead, &mut fits, scratch);
            }
        }
        fits
    }

    /// Adds the fit from a guess, unless it is there already.
    fn fit_from(
        &self,
        guess: &Guess<'_>,
        ahead: &SearchedFrame<'_>,
        fits: &mut Vec<RigidFit>,
        scratch: &mut RigidScratch,
    ) {
        if fits.iter().any(|f| f.pose.at.distance_px(guess.at) < SAME_GUESS_PX) {
            return;
        }
        let pose = Pose { at: guess.at, rotation: ahead.prior.pose.rotation };
        let start = AlignmentStart { pose, prior: ahead.prior, reach_px: guess.reach_px };
        let visible = visible_behind(ahead.previous.in_front, pose, self.half_px);
        let Some(weights) = visible_weights(&self.weights, [&visible, &self.visible]) else {
            return;
        };
        let fit = guess.patch.align(&ahead.prediction.region, &start, &weights, scratch);
        if let Some(fit) = fit
            && !fits.iter().any(|f| f.pose.at.distance_px(fit.pose.at) < SAME_FIT_PX)
        {
            fits.push(fit);
        }
    }

    /// Where the latest patch and the placed one, rotated as predicted, are found.
    fn search(&self, ahead: &SearchedFrame<'_>) -> Vec<ImagePoint> {
        let placed = self.references.first().map(|reference| &reference.patch);
        let sought = std::iter::once(&self.latest).chain(placed);
        let prediction = ahead.prediction;
        let area = SearchArea {
            region: &prediction.region,
            about: prediction.at,
            radius_px: prediction.search_radius_px(),
        };
        let half_px = self.half_px.min(SKIN_SEARCH_HALF_PX);
        search_patches(sought, ahead.prior.pose.rotation, half_px, area)
    }

    /// The references that agree best with a fit: two, and the placed one.
    fn likest_references<'s>(
        &'s self,
        fit: &RigidFit,
        region: &Region,
        scratch: &mut RigidScratch,
    ) -> Vec<&'s Reference> {
        let patches = self.references.iter().map(|reference| &reference.patch);
        let found = Patch::correlations(patches, region, fit.pose, &self.weights, scratch);
        let mut scored: Vec<(f32, usize)> =
            found.into_iter().enumerate().map(|(k, c)| (c.unwrap_or(-1.0), k)).collect();
        scored.sort_by(|a, b| b.0.total_cmp(&a.0));
        scored.truncate(COMPARED);
        let has_placed = scored.iter().any(|(_, k)| *k == 0);
        let placed = if has_placed { None } else { Some(0) };
        let chosen = scored.iter().map(|(_, k)| *k).chain(placed);
        chosen.filter_map(|k| self.references.get(k)).collect()
    }

    /// A fit as a candidate, its place drawn to where the references have it.
    fn judge(
        &self,
        fit: &RigidFit,
        ahead: &SearchedFrame<'_>,
        scratch: &mut RigidScratch,
    ) -> Candidate {
        let own = self.drift_px2 + DRIFT_PX2_PER_FRAME + STEP_RATIO * variance(fit.hold_per_px2);
        let mut mean = WeightedMean::default();
        mean.add((0.0, 0.0), own);
        let (mut drift_px2, mut best) = (own, 0.0_f32);
        let visible = visible_behind(ahead.previous.in_front, fit.pose, self.half_px);
        let region = &ahead.prediction.region;
        for reference in self.likest_references(fit, region, scratch) {
            let Some(weights) = visible_weights(&self.weights, [&visible, &reference.visible])
            else {
                continue;
            };
            let Some(found) = reference.align_near(fit, region, &weights, scratch) else {
                continue;
            };
            best = best.max(found.correlation);
            if found.correlation < REFERENCE_LEAST {
                continue;
            }
            let lack = (1.0 - f64::from(found.correlation)) / REFERENCE_DECORRELATION;
            let spread = reference.drift_px2
                + (variance(found.hold_per_px2) + REFERENCE_PX2) * (1.0 + lack * lack);
            let step = found.pose.at.minus(fit.pose.at);
            if step.0 * step.0 + step.1 * step.1 < REFERENCE_LIMIT * (spread + own) {
                mean.add(step, spread);
                drift_px2 = drift_px2.min(spread);
            }
        }
        let (dx, dy) = mean.value();
        let at = fit.pose.at.moved(dx, dy);
        let similarity = skin_similarity(fit.correlation, best, ahead.previous.unseen == 0);
        let pose =
            SkinPose { rotation: fit.pose.rotation, hold_per_px2: fit.hold_per_px2, drift_px2 };
        let image_merit = ahead.merit(fit, similarity, at);
        Candidate { at, similarity, image_merit, skin: Some(pose) }
    }
}

impl Reference {
    /// Settled near the fit of another patch.
    fn align_near(
        &self,
        fit: &RigidFit,
        region: &Region,
        weights: &[f32],
        scratch: &mut RigidScratch,
    ) -> Option<RigidFit> {
        let prior =
            PosePrior { pose: fit.pose, place_px: REFERENCE_PX, rotation_rad: REFERENCE_RAD };
        let start = AlignmentStart { pose: fit.pose, prior, reach_px: REFERENCE_REACH_PX };
        self.patch.align(region, &start, weights, scratch)
    }
}

impl SearchedFrame<'_> {
    /// The image merit of a fit, at a place that references may have drawn away from it.
    fn merit(&self, fit: &RigidFit, similarity: f32, at: ImagePoint) -> f32 {
        image_merit(&ImageEvidence {
            similarity,
            contrast_ratio: fit.gain_ratio,
            innovation_ratio: self.prediction.innovation_ratio(at),
            is_at_flow: is_at_flow(self.flowed, fit.pose.at),
        })
    }
}

/// Mean of the variances both ways of a place that is held so.
fn variance([xx, xy, yy]: [f64; 3]) -> f64 {
    0.5 * (xx + yy + 2.0 * LEAST_HOLD_PER_PX2)
        / ((xx + LEAST_HOLD_PER_PX2) * (yy + LEAST_HOLD_PER_PX2) - xy * xy).max(LEAST_DETERMINANT)
}

/// A mean of steps, each weighed by one over its variance.
#[derive(Default)]
struct WeightedMean {
    sum: (f64, f64),
    total: f64,
}

impl WeightedMean {
    fn add(&mut self, (dx, dy): (f64, f64), variance: f64) {
        let weight = 1.0 / variance;
        self.sum = (self.sum.0 + weight * dx, self.sum.1 + weight * dy);
        self.total += weight;
    }

    fn value(&self) -> (f64, f64) {
        (self.sum.0 / self.total, self.sum.1 / self.total)
    }
}
