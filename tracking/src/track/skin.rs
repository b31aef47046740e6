//! Skin and cloth: followed from look to look, and held to how it looked before.

use super::candidate::{Candidate, offer};
use super::marker::{Expected, merit};
use crate::image::{Pixel, Region};
use crate::point::{
    Aim, Expectation, Patch, Pose, Scratch, Template, Turn, TurnedFit, TurnedScratch, flow,
};

/// Chosen: skin has only weak texture, so much of it.
pub(super) const HALF_PX: usize = 10;
/// Chosen: grey levels by which a pixel of the patch may change without being held for background.
const STEADY: f32 = 6.0;
/// Chosen: a look this far turned from all that are kept is kept too.
const NEW_LOOK_RAD: f64 = 0.25;
/// Most looks kept.
const LOOKS: usize = 6;
/// Lucas-Kanade there and back again may miss its start by so much.
const CLOSING_PX: f64 = 1.5;

/// A look that was kept, with what its place may be off.
#[derive(Clone, Debug)]
struct Look {
    patch: Patch,
    turn: Turn,
    variance_px2: f64,
}

/// What is known of a patch of skin or cloth.
#[derive(Clone, Debug)]
pub(super) struct Skin {
    /// The first is as a person placed it.
    looks: Vec<Look>,
    last: Patch,
    pub turn: Turn,
    /// Turn from frame to frame.
    pub spin_rad: f64,
    variance_px2: f64,
    /// How much each pixel of the patch has changed, in squared grey levels.
    change: Vec<f32>,
    weights: Vec<f32>,
}

/// Buffers kept from call to call.
#[derive(Debug, Default)]
pub(super) struct SkinScratch {
    pub flow: Scratch,
    pub turned: TurnedScratch,
}

impl Skin {
    pub fn place(region: &Region, at: Pixel) -> Option<Self> {
        let patch = Patch::take(region, Pose { at, turn: Turn::NONE }, HALF_PX)?;
        let change = vec![0.0; patch.values().len()];
        let weights = weights(&change);
        // Without contrast there is nothing to hold on to.
        let contrast = Template::of_window(patch.values(), HALF_PX)?.contrast();
        if contrast < 1.0 {
            return None;
        }
        let look = Look { patch: patch.clone(), turn: Turn::NONE, variance_px2: 0.0 };
        Some(Self {
            looks: vec![look],
            last: patch,
            turn: Turn::NONE,
            spin_rad: 0.0,
            variance_px2: 0.0,
            change,
            weights,
        })
    }

    /// The places where the marker may be, best first.
    pub fn candidates(
        &self,
        (from, at, unseen): (&Region, Pixel, u32),
        expected: &Expected,
        scratch: &mut SkinScratch,
    ) -> Vec<Candidate> {
        let expectation = Expectation {
            pose: Pose { at: expected.at, turn: self.turn.then(Turn::small(self.spin_rad)) },
            place_px: expected.sigma_px,
            turn_rad: 0.05 + 0.3 * self.spin_rad.abs() + 0.02 * f64::from(unseen),
        };
        let mut fits: Vec<(TurnedFit, bool)> = Vec::new();
        let flowed = if unseen == 0 {
            flow_both_ways((from, at), expected, &mut scratch.flow)
        } else {
            None
        };
        for guess in [Some(expected.at), flowed].into_iter().flatten() {
            self.try_at(&mut fits, (guess, 4.0), (&expectation, expected), scratch);
        }
        let sure = fits.iter().any(|(f, _)| {
            f.correlation > 0.9 && flowed.is_some_and(|p| p.distance_px(f.pose.at) < CLOSING_PX)
        });
        if !sure {
            for guess in self.search(&expectation, expected) {
                self.try_at(&mut fits, (guess, 2.0), (&expectation, expected), scratch);
            }
        }
        for (fit, flows) in &mut fits {
            *flows = flowed.is_some_and(|p| p.distance_px(fit.pose.at) < CLOSING_PX);
        }
        let mut found = Vec::new();
        for (fit, flows) in fits {
            offer(&mut found, self.judge(fit, flows, expected, scratch));
        }
        found.sort_by(|a, b| b.merit.total_cmp(&a.merit));
        found
    }

    fn try_at(
        &self,
        fits: &mut Vec<(TurnedFit, bool)>,
        (guess, reach_px): (Pixel, f64),
        (expectation, expected): (&Expectation, &Expected),
        scratch: &mut SkinScratch,
    ) {
        let start = Pose { at: guess, turn: expectation.pose.turn };
        let region = &expected.region;
        let aim = Aim { start, expected: *expectation, reach_px };
        let fit = self.last.settle(region, &aim, &self.weights, &mut scratch.turned);
        if let Some(fit) = fit
            && !fits.iter().any(|(f, _)| f.pose.at.distance_px(fit.pose.at) < 0.5)
        {
            fits.push((fit, false));
        }
    }

    /// Peaks of the correlation with the last look and the placed one, both turned as is expected.
    fn search(&self, expectation: &Expectation, expected: &Expected) -> Vec<Pixel> {
        let region = &expected.region;
        let (x, y) = region.local(expected.at, 0);
        let (cx, cy) = ((x + 0.5) as usize, (y + 0.5) as usize);
        let mut guesses = Vec::new();
        let placed = self.looks.first().map(|l| &l.patch);
        for patch in std::iter::once(&self.last).chain(placed) {
            let window = patch.shown(expectation.pose.turn);
            let Some(template) = Template::of_window(&window, HALF_PX) else { continue };
            let reach = super::marker::radius(expected.sigma_px);
            if let Some(scores) = template.search(region.level(0), cx, cy, reach) {
                guesses.extend(
                    scores
                        .peaks(0.5, 4)
                        .iter()
                        .map(|p| region.global(cx as f32 + p.dx_px, cy as f32 + p.dy_px)),
                );
            }
        }
        guesses
    }

    /// What speaks for a place, and the place itself drawn to where the kept looks have it.
    fn judge(
        &self,
        fit: TurnedFit,
        flows: bool,
        expected: &Expected,
        scratch: &mut SkinScratch,
    ) -> Candidate {
        let region = &expected.region;
        let own = self.variance_px2 + 0.01 + fit.variance_px2;
        let (mut sum_x, mut sum_y, mut total) = (0.0, 0.0, 0.0);
        let (mut least, mut identity) = (own, 0.0_f32);
        let mut add = |at: Pixel, variance: f64| {
            let weight = 1.0 / variance;
            let (dx, dy) = at.from(fit.pose.at);
            sum_x += weight * dx;
            sum_y += weight * dy;
            total += weight;
        };
        add(fit.pose.at, own);
        for look in &self.looks {
            let expected = Expectation { pose: fit.pose, place_px: 2.0, turn_rad: 0.1 };
            let aim = Aim { start: fit.pose, expected, reach_px: 5.0 };
            let settled = look.patch.settle(region, &aim, &self.weights, &mut scratch.turned);
            let Some(kept) = settled else { continue };
            identity = identity.max(kept.correlation);
            if kept.correlation < 0.6 {
                continue;
            }
            let lack = f64::from((1.0 - kept.correlation) / 0.1);
            let variance = look.variance_px2 + (kept.variance_px2 + 0.05) * (1.0 + lack * lack);
            let away = kept.pose.at.distance_px(fit.pose.at);
            if away * away < 9.0 * (variance + own) {
                add(kept.pose.at, variance);
                least = least.min(variance);
            }
        }
        let at = fit.pose.at.moved(sum_x / total, sum_y / total);
        let alike = 0.5 * (fit.correlation + identity);
        let merit = merit(alike, fit.gain_ratio, at, expected) + if flows { 0.06 } else { 0.0 };
        Candidate {
            at,
            correlation: alike,
            gain_ratio: fit.gain_ratio,
            merit,
            turn: fit.pose.turn,
            variance_px2: least,
        }
    }

    /// Takes a place as where the marker is now.
    pub fn take(&mut self, candidate: &Candidate, region: &Region, scratch: &mut SkinScratch) {
        let pose = Pose { at: candidate.at, turn: candidate.turn };
        let turned = self.turn.back().then(pose.turn).angle_rad();
        self.spin_rad += 0.5 * (turned - self.spin_rad);
        if self.last.look(region, pose, &self.weights, &mut scratch.turned).is_some() {
            for (change, r) in self.change.iter_mut().zip(&scratch.turned.residual) {
                *change += 0.15 * ((r * r).min(2500.0) - *change);
            }
            self.weights = weights(&self.change);
        }
        self.turn = pose.turn;
        self.variance_px2 = candidate.variance_px2;
        let Some(patch) = Patch::take(region, pose, HALF_PX) else { return };
        let near = |l: &Look| l.turn.back().then(pose.turn).angle_rad().abs() < NEW_LOOK_RAD;
        if candidate.correlation > 0.8 && !self.looks.iter().any(near) {
            if self.looks.len() >= LOOKS {
                self.looks.remove(1);
            }
            let (turn, variance_px2) = (pose.turn, self.variance_px2);
            self.looks.push(Look { patch: patch.clone(), turn, variance_px2 });
        }
        self.last = patch;
    }

    /// Goes on unseen.
    pub fn coast(&mut self) {
        self.turn = self.turn.then(Turn::small(self.spin_rad));
        self.spin_rad *= 0.9;
        self.variance_px2 += 2.0;
    }
}

/// Weights with the sum one: round, falling to the rim, and little where the picture changes beside the patch.
fn weights(change: &[f32]) -> Vec<f32> {
    let side = 2 * HALF_PX + 1;
    let limit = (HALF_PX * HALF_PX + HALF_PX) as f32;
    let weight = |(k, c): (usize, &f32)| {
        let (dx, dy) = ((k % side).abs_diff(HALF_PX), (k / side).abs_diff(HALF_PX));
        let rim = (1.0 - (dx * dx + dy * dy) as f32 / limit).max(0.0);
        let round = (2.0 * rim).min(1.0);
        round / (STEADY * STEADY + c)
    };
    let mut weights: Vec<f32> = change.iter().enumerate().map(weight).collect();
    let total: f32 = weights.iter().sum();
    weights.iter_mut().for_each(|w| *w /= total);
    weights
}

fn flow_both_ways(
    (from, at): (&Region, Pixel),
    expected: &Expected,
    scratch: &mut Scratch,
) -> Option<Pixel> {
    let there = flow((from, at), (&expected.region, expected.at), HALF_PX, scratch)?;
    let back = flow((&expected.region, there), (from, at), HALF_PX, scratch)?;
    (back.distance_px(at) < CLOSING_PX).then_some(there)
}
