//! Skin and cloth: followed from look to look, and held to how it looked before.

use super::super::marker::{Before, Expected, flow_both_ways, merit, radius};
use super::LookScratch;
use super::candidate::{Candidate, Soft, offer};
use super::cover::{Band, Seen, seen_behind, weights_seen};
use super::search::places_like;
use crate::image::{Pixel, Region};
use crate::point::{Aim, Expectation, Patch, Pose, Turn, TurnedFit, TurnedScratch};

/// Half the sides of a patch that are tried, the smallest first.
///
/// Chosen: a joint that is all skin is found in 21 pixels; a bare thigh in shade only with its outline.
const HALVES_PX: [usize; 3] = [10, 14, 18];
/// Half the side of the largest patch.
pub(in crate::track) const MOST_HALF_PX: usize = 18;
/// Chosen: a patch that its picture holds so firmly each way is large enough: half a pixel.
const FIRM_PER_PX2: f64 = 4.0;
/// Chosen: grey levels by which a pixel of the patch may change without being held for background; and how fast
/// its changes are learnt.
const STEADY: f32 = 3.0;
const CHANGE: f32 = 0.1;
/// Chosen: share of the expectation's deviation within which it holds a fit.
const TRUST: f64 = 0.5;
/// Chosen: deviation of the turn, at rest and as a share of the turn from frame to frame; how fast that is learnt.
const TURN_RAD: f64 = 0.06;
const TURN_CHANGE: f64 = 0.3;
const SPIN_CHANGE: f64 = 0.5;
/// Chosen: half the side of what is searched for, however large the patch: each place found is settled on all of it.
const SEARCH_HALF_PX: usize = 10;
/// Chosen: a fit that correlates so well where the flow leads needs no search.
const SURE: f32 = 0.82;
/// Chosen: so many fits, the best ones by the looks of late, are held against the kept looks.
const JUDGED: usize = 3;
/// Chosen: a guess so near to what was found from another would lead there too. A tenth of the time of following at
/// 1080p, for as many corrections (8.8 for 9.0 in a hundred frames of 22 clips, three starts each).
const SAME_PX: f64 = 1.0;
/// A place that the flow from the frame before leads to as well.
const AGREES_PX: f64 = 1.5;
/// Chosen: what that is worth, in correlation.
const FLOWS: f32 = 0.06;
/// Chosen: variance that following from frame to frame adds, and the share of the fit's own.
const STEP_PX2: f64 = 0.05;
const STEP_SHARE: f64 = 0.1;
/// Chosen: share of a new picture in the look that is found again. Of noise that is each picture's own such a mean has
/// 0.3 / 1.7 of the variance, and it does not drift with each picture.
const RENEWAL: f32 = 0.3;
/// Chosen: share of the last look in what speaks for a place; the kept looks have the rest.
const FRESH: f32 = 0.7;
/// Chosen: deviations within which a kept look is looked for about a place, its least correlation, and the lack
/// of correlation that doubles its variance.
const LOOK_PX: f64 = 2.0;
const LOOK_RAD: f64 = 0.1;
const LOOK_LEAST: f32 = 0.6;
const LOOK_LACK: f64 = 0.07;
/// Chosen: a look so far turned from all that are kept is kept too, if it is as sure as this.
const NEW_LOOK_RAD: f64 = 0.25;
const NEW_LOOK_LEAST: f32 = 0.8;
/// Most looks kept.
const LOOKS: usize = 6;

/// A look that was kept, with what its place may be off.
#[derive(Clone, Debug)]
struct Look {
    patch: Patch,
    known: Seen,
    turn: Turn,
    drift_px2: f64,
}

/// What is known of a patch of skin or cloth.
#[derive(Clone, Debug)]
pub(in crate::track) struct Skin {
    /// The first is as a person placed it.
    looks: Vec<Look>,
    half_px: usize,
    /// Its look of late, and in the last picture alone.
    last: Patch,
    newest: Patch,
    /// What of it has been seen.
    known: Seen,
    pub turn: Turn,
    /// Turn from frame to frame.
    pub spin_rad: f64,
    drift_px2: f64,
    /// How much each pixel of the patch has changed, in squared grey levels.
    change: Vec<f32>,
    weights: Vec<f32>,
}

impl Skin {
    /// Skin as placed; `None` where the picture is all of one grey.
    pub fn place(region: &Region, at: Pixel, bands: &[Band]) -> Option<Self> {
        let pose = Pose { at, turn: Turn::NONE };
        let mut best = None;
        for half_px in HALVES_PX {
            let Some(patch) = Patch::take(region, pose, half_px) else { continue };
            let first = *patch.values().first()?;
            if patch.values().iter().all(|v| *v == first) {
                continue;
            }
            let even = weights(&vec![0.0; patch.values().len()], half_px);
            let seen = seen_behind(bands, pose, half_px);
            let Some(even) = weights_seen(&even, [&seen, &None]) else { continue };
            let held = patch.look(region, pose, &even, &mut TurnedScratch::default());
            let firm = held.map_or(0.0, |f| least(f.hold_per_px2));
            best = Some((patch, half_px, seen));
            if firm > FIRM_PER_PX2 {
                break;
            }
        }
        let (patch, half_px, known) = best?;
        let change = vec![0.0; patch.values().len()];
        let weights = weights(&change, half_px);
        let look =
            Look { patch: patch.clone(), known: known.clone(), turn: Turn::NONE, drift_px2: 0.0 };
        Some(Self {
            looks: vec![look],
            half_px,
            newest: patch.clone(),
            last: patch,
            known,
            turn: Turn::NONE,
            spin_rad: 0.0,
            drift_px2: 0.0,
            change,
            weights,
        })
    }

    /// The places where the marker may be, best first.
    pub fn candidates(
        &self,
        before: &Before<'_>,
        expected: &Expected,
        scratch: &mut LookScratch,
    ) -> Vec<Candidate> {
        let expectation = Expectation {
            pose: Pose { at: expected.at, turn: self.turn.then(Turn::small(self.spin_rad)) },
            place_px: TRUST * expected.sigma_px,
            turn_rad: TURN_RAD
                + TURN_CHANGE * self.spin_rad.abs()
                + 0.02 * f64::from(before.unseen),
        };
        let mut fits: Vec<(TurnedFit, bool)> = Vec::new();
        let is_open = self.known.is_none()
            && seen_behind(before.bands, expectation.pose, self.half_px).is_none();
        // Flow follows what is in front.
        let flowed = if is_open {
            flow_both_ways(before, expected, self.half_px, &mut scratch.flow)
        } else {
            None
        };
        let ahead = (&expectation, expected, before.bands);
        for guess in [Some(expected.at), flowed].into_iter().flatten() {
            self.try_at(&mut fits, (&self.last, guess, 4.0), ahead, scratch);
        }
        let sure = fits.iter().any(|(f, _)| {
            f.correlation > SURE && flowed.is_some_and(|p| p.distance_px(f.pose.at) < AGREES_PX)
        });
        if !sure {
            // It may have changed faster than the mean of its looks tells.
            for guess in [Some(expected.at), flowed].into_iter().flatten() {
                self.try_at(&mut fits, (&self.newest, guess, 4.0), ahead, scratch);
            }
            for guess in self.search(&expectation, expected) {
                self.try_at(&mut fits, (&self.newest, guess, 2.0), ahead, scratch);
            }
        }
        for (fit, flows) in &mut fits {
            *flows = flowed.is_some_and(|p| p.distance_px(fit.pose.at) < AGREES_PX);
        }
        let worth = |(f, flows): &(TurnedFit, bool)| {
            merit(f.correlation, f.gain_ratio, f.pose.at, expected)
                + if *flows { FLOWS } else { 0.0 }
        };
        fits.sort_by(|a, b| worth(b).total_cmp(&worth(a)));
        let mut found = Vec::new();
        for (fit, flows) in fits.into_iter().take(JUDGED) {
            offer(
                &mut found,
                self.judge(fit, flows, (expected, before.unseen == 0, before.bands), scratch),
            );
        }
        found.sort_by(|a, b| b.merit.total_cmp(&a.merit));
        found
    }

    fn try_at(
        &self,
        fits: &mut Vec<(TurnedFit, bool)>,
        (patch, guess, reach_px): (&Patch, Pixel, f64),
        (expectation, expected, bands): (&Expectation, &Expected, &[Band]),
        scratch: &mut LookScratch,
    ) {
        if fits.iter().any(|(f, _)| f.pose.at.distance_px(guess) < SAME_PX) {
            return;
        }
        let start = Pose { at: guess, turn: expectation.pose.turn };
        let region = &expected.region;
        let aim = Aim { start, expected: *expectation, reach_px };
        let seen = seen_behind(bands, start, self.half_px);
        let Some(weights) = weights_seen(&self.weights, [&seen, &self.known]) else { return };
        let fit = patch.settle(region, &aim, &weights, &mut scratch.turned);
        if let Some(fit) = fit
            && !fits.iter().any(|(f, _)| f.pose.at.distance_px(fit.pose.at) < 0.5)
        {
            fits.push((fit, false));
        }
    }

    /// Where the newest look and the placed one, both turned as is expected, are found again.
    fn search(&self, expectation: &Expectation, expected: &Expected) -> Vec<Pixel> {
        let sought = std::iter::once(&self.newest).chain(self.looks.first().map(|l| &l.patch));
        let size = (expectation.pose.turn, self.half_px.min(SEARCH_HALF_PX));
        places_like(sought, size, &expected.region, (expected.at, radius(expected.sigma_px)))
    }

    /// The kept looks that agree best with a fit: two, and the placed one.
    fn likest<'s>(
        &'s self,
        fit: &TurnedFit,
        region: &Region,
        scratch: &mut LookScratch,
    ) -> Vec<&'s Look> {
        let patches = self.looks.iter().map(|look| &look.patch);
        let place = (region, fit.pose);
        let found = Patch::correlations(patches, place, &self.weights, &mut scratch.turned);
        let mut scored: Vec<(f32, usize)> =
            found.into_iter().enumerate().map(|(k, c)| (c.unwrap_or(-1.0), k)).collect();
        scored.sort_by(|a, b| b.0.total_cmp(&a.0));
        let first = scored.iter().take(2).any(|(_, k)| *k == 0);
        let placed = if first { None } else { Some(0) };
        let chosen: Vec<usize> = scored.iter().take(2).map(|(_, k)| *k).chain(placed).collect();
        chosen.into_iter().filter_map(|k| self.looks.get(k)).collect()
    }

    /// What speaks for a place, and the place itself drawn to where the kept looks have it.
    fn judge(
        &self,
        fit: TurnedFit,
        flows: bool,
        (expected, fresh, bands): (&Expected, bool, &[Band]),
        scratch: &mut LookScratch,
    ) -> Candidate {
        let seen = seen_behind(bands, fit.pose, self.half_px);
        let own = self.drift_px2 + STEP_PX2 + STEP_SHARE * variance(fit.hold_per_px2);
        let mut mean = Mean::default();
        mean.add((0.0, 0.0), own);
        let (mut drift_px2, mut kept) = (own, 0.0_f32);
        for look in self.likest(&fit, &expected.region, scratch) {
            let expected_pose =
                Expectation { pose: fit.pose, place_px: LOOK_PX, turn_rad: LOOK_RAD };
            let aim = Aim { start: fit.pose, expected: expected_pose, reach_px: 5.0 };
            let region = &expected.region;
            let Some(weights) = weights_seen(&self.weights, [&seen, &look.known]) else { continue };
            let settled = look.patch.settle(region, &aim, &weights, &mut scratch.turned);
            let Some(found) = settled else { continue };
            kept = kept.max(found.correlation);
            if found.correlation < LOOK_LEAST {
                continue;
            }
            let lack = (1.0 - f64::from(found.correlation)) / LOOK_LACK;
            let spread =
                look.drift_px2 + (variance(found.hold_per_px2) + 0.05) * (1.0 + lack * lack);
            let way = found.pose.at.from(fit.pose.at);
            if way.0 * way.0 + way.1 * way.1 < 9.0 * (spread + own) {
                mean.add(way, spread);
                drift_px2 = drift_px2.min(spread);
            }
        }
        let (dx, dy) = mean.of();
        let at = fit.pose.at.moved(dx, dy);
        let alike = if fresh { kept + FRESH * (fit.correlation - kept) } else { kept };
        let merit = merit(alike, fit.gain_ratio, at, expected) + if flows { FLOWS } else { 0.0 };
        let soft = Soft { turn: fit.pose.turn, hold_per_px2: fit.hold_per_px2, drift_px2 };
        Candidate { at, correlation: alike, merit, soft }
    }

    /// Takes a place as where the marker is now.
    pub fn take(
        &mut self,
        candidate: &Candidate,
        (region, bands): (&Region, &[Band]),
        scratch: &mut LookScratch,
    ) {
        let pose = Pose { at: candidate.at, turn: candidate.soft.turn };
        let turned = self.turn.back().then(pose.turn).angle_rad();
        self.spin_rad += SPIN_CHANGE * (turned - self.spin_rad);
        let seen = seen_behind(bands, pose, self.half_px);
        if let Some(kept) = weights_seen(&self.weights, [&seen, &self.known])
            && self.last.look(region, pose, &kept, &mut scratch.turned).is_some()
        {
            let both = |k: usize| kept.get(k).is_some_and(|w| *w > 0.0);
            let residual = scratch.turned.residual.iter().enumerate();
            for (change, (k, r)) in self.change.iter_mut().zip(residual) {
                if both(k) {
                    *change += CHANGE * ((r * r).min(2500.0) - *change);
                }
            }
            self.weights = weights(&self.change, self.half_px);
        }
        self.turn = pose.turn;
        self.drift_px2 = candidate.soft.drift_px2;
        let Some(mut patch) = Patch::take(region, pose, self.half_px) else { return };
        if let Some(seen) = &seen {
            patch.keep(&self.last, seen);
        }
        if let Some(known) = &self.known {
            // What was not seen before has no look of late.
            self.last.keep(&patch, known);
        }
        self.last.renew(&patch, RENEWAL);
        self.newest = patch;
        match (&seen, &mut self.known) {
            (None, known) => *known = None,
            (Some(seen), known) => {
                let known = known.iter_mut().flatten();
                known.zip(seen).for_each(|(known, seen)| *known = known.max(*seen));
            }
        }
        let near = |l: &Look| l.turn.back().then(pose.turn).angle_rad().abs() < NEW_LOOK_RAD;
        if seen.is_none() && candidate.correlation > NEW_LOOK_LEAST && !self.looks.iter().any(near)
        {
            if self.looks.len() >= LOOKS {
                self.looks.remove(1);
            }
            let (turn, drift_px2) = (pose.turn, self.drift_px2);
            self.looks.push(Look { patch: self.last.clone(), known: None, turn, drift_px2 });
        }
    }

    /// Goes on unseen.
    pub fn coast(&mut self) {
        self.turn = self.turn.then(Turn::small(self.spin_rad));
        self.spin_rad *= 0.9;
        self.drift_px2 += 2.0;
    }
}

/// Weights with the sum one: round, falling to the rim, and little where the picture changes beside the patch.
fn weights(change: &[f32], half: usize) -> Vec<f32> {
    let side = 2 * half + 1;
    let limit = (half * half + half) as f32;
    let weight = |(k, c): (usize, &f32)| {
        let (dx, dy) = ((k % side).abs_diff(half), (k / side).abs_diff(half));
        let rim = (1.0 - (dx * dx + dy * dy) as f32 / limit).max(0.0);
        let round = (2.0 * rim).min(1.0);
        round / (STEADY * STEADY + c)
    };
    let mut weights: Vec<f32> = change.iter().enumerate().map(weight).collect();
    let total: f32 = weights.iter().sum();
    weights.iter_mut().for_each(|w| *w /= total);
    weights
}

/// The smaller eigenvalue.
fn least([xx, xy, yy]: [f64; 3]) -> f64 {
    0.5 * (xx + yy - ((xx - yy) * (xx - yy) + 4.0 * xy * xy).sqrt())
}

/// Mean of the variances both ways.
fn variance([xx, xy, yy]: [f64; 3]) -> f64 {
    0.5 * (xx + yy + 2e-4) / ((xx + 1e-4) * (yy + 1e-4) - xy * xy).max(1e-7)
}

/// A mean of steps, each weighing by one over its variance.
#[derive(Default)]
struct Mean {
    sum: (f64, f64),
    total: f64,
}

impl Mean {
    fn add(&mut self, (dx, dy): (f64, f64), variance: f64) {
        let weight = 1.0 / variance;
        self.sum = (self.sum.0 + weight * dx, self.sum.1 + weight * dy);
        self.total += weight;
    }

    fn of(&self) -> (f64, f64) {
        (self.sum.0 / self.total, self.sum.1 / self.total)
    }
}
