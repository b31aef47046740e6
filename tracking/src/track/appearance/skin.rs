//! Skin and cloth: a patch that is renewed from frame to frame, and held to reference patches of before.

use super::occlusion_mask::{Mask, visible_behind, visible_weights};
use super::scratch::AppearanceScratch;
use crate::image::{ImagePoint, Region};
use crate::point::{Patch, Pose, RigidScratch, Rotation};
use crate::scales::{
    COASTING_MOTION_KEPT, DRIFT_PX2_PER_UNSEEN_FRAME, PATCH_LEARNT, PIXEL_CHANGE_LEARNT,
    SKIN_PATCH_HALVES_PX, SPIN_LEARNT,
};
use crate::track::candidate::Candidate;
use crate::track::occluder::Occluder;

/// A patch that its picture holds so firmly each way is large enough.
///
/// Chosen: half a pixel.
const FIRM_PER_PX2: f64 = 4.0;
/// Grey levels by which a pixel of the patch may change and still not be background.
///
/// Chosen: by trial on the worked clips, no record.
const STEADY: f32 = 3.0;
/// The most that one frame says of a pixel's change, in squared grey levels.
///
/// Chosen: fifty levels; by trial on the worked clips, no record.
const MOST_CHANGE: f32 = 2500.0;
/// How steeply the weights fall to the rim of the disc: full weight up to half of its squared radius.
///
/// Chosen: by trial on the worked clips, no record.
const RIM_SLOPE: f32 = 2.0;
/// Rotation from all reference patches at which a patch becomes a new one.
///
/// Chosen: by trial on the worked clips, no record.
const NEW_REFERENCE_RAD: f64 = 0.25;
/// Least similarity of a patch that becomes a reference.
///
/// Chosen: by trial on the worked clips, no record.
const NEW_REFERENCE_LEAST: f32 = 0.8;
/// Most reference patches.
///
/// Chosen: for time; by trial on the worked clips, no record.
const MOST_REFERENCES: usize = 6;

/// A patch of before, with what its place may be off.
#[derive(Clone, Debug)]
pub(super) struct Reference {
    pub patch: Patch,
    /// What of it was visible.
    pub visible: Mask,
    rotation: Rotation,
    /// Variance of its place.
    pub drift_px2: f64,
}

/// What is known of a patch of skin or cloth.
#[derive(Clone, Debug)]
pub(in crate::track) struct Skin {
    /// The first is as the user placed it.
    pub(super) references: Vec<Reference>,
    pub(super) half_px: usize,
    /// The running mean of its appearance.
    pub(super) running_mean: Patch,
    /// Its appearance in the last picture alone.
    pub(super) latest: Patch,
    /// What of it has been visible.
    pub(super) visible: Mask,
    pub(super) rotation: Rotation,
    /// Rotation from frame to frame.
    spin_rad: f64,
    pub(super) drift_px2: f64,
    /// How much each pixel of the patch changes, in squared grey levels.
    change: Vec<f32>,
    pub(super) weights: Vec<f32>,
}

/// A patch of a size that may be taken.
struct SizedPatch {
    patch: Patch,
    half_px: usize,
    visible: Mask,
}

impl Skin {
    /// Skin as placed; `None` if the picture is all of one grey.
    pub fn place(region: &Region, at: ImagePoint, in_front: &[Occluder]) -> Option<Self> {
        let SizedPatch { patch, half_px, visible } = firm_patch(region, at, in_front)?;
        let change = vec![0.0; patch.values().len()];
        let weights = weights(&change, half_px);
        let rotation = Rotation::IDENTITY;
        let first =
            Reference { patch: patch.clone(), visible: visible.clone(), rotation, drift_px2: 0.0 };
        Some(Self {
            references: vec![first],
            half_px,
            latest: patch.clone(),
            running_mean: patch,
            visible,
            rotation,
            spin_rad: 0.0,
            drift_px2: 0.0,
            change,
            weights,
        })
    }

    /// Takes a place as where the marker is now.
    pub fn take(
        &mut self,
        candidate: &Candidate,
        region: &Region,
        in_front: &[Occluder],
        scratch: &mut AppearanceScratch,
    ) {
        let Some(found) = candidate.skin else { return };
        let pose = Pose { at: candidate.at, rotation: found.rotation };
        let rotated_rad = self.rotation.inverse().then(pose.rotation).angle_rad();
        self.spin_rad += SPIN_LEARNT * (rotated_rad - self.spin_rad);
        let visible = visible_behind(in_front, pose, self.half_px);
        self.learn_weights(region, pose, &visible, &mut scratch.rigid);
        self.rotation = pose.rotation;
        self.drift_px2 = found.drift_px2;
        let Some(patch) = Patch::take(region, pose, self.half_px) else { return };
        self.renew(patch, &visible);
        if visible.is_none() && candidate.similarity > NEW_REFERENCE_LEAST {
            self.add_reference(pose.rotation);
        }
    }

    /// Learns how much each visible pixel changes, and with it the weights.
    fn learn_weights(
        &mut self,
        region: &Region,
        pose: Pose,
        visible: &Mask,
        scratch: &mut RigidScratch,
    ) {
        if let Some(kept) = visible_weights(&self.weights, [visible, &self.visible])
            && self.running_mean.evaluate(region, pose, &kept, scratch).is_some()
        {
            let both = |k: usize| kept.get(k).is_some_and(|w| *w > 0.0);
            let residual = scratch.residual.iter().enumerate();
            for (change, (k, r)) in self.change.iter_mut().zip(residual) {
                if both(k) {
                    *change += PIXEL_CHANGE_LEARNT * ((r * r).min(MOST_CHANGE) - *change);
                }
            }
            self.weights = weights(&self.change, self.half_px);
        }
    }

    /// Takes the newest picture of the patch.
    fn renew(&mut self, mut patch: Patch, visible: &Mask) {
        if let Some(visible) = visible {
            patch.fill_hidden(&self.running_mean, visible);
        }
        if let Some(known) = &self.visible {
            // What was not visible before has no mean yet.
            self.running_mean.fill_hidden(&patch, known);
        }
        self.running_mean.blend_in(&patch, PATCH_LEARNT);
        self.latest = patch;
        match (visible, &mut self.visible) {
            (None, known) => *known = None,
            (Some(visible), known) => {
                let known = known.iter_mut().flatten();
                known.zip(visible).for_each(|(known, visible)| *known = known.max(*visible));
            }
        }
    }

    /// Keeps the running mean as a reference unless one is rotated alike.
    fn add_reference(&mut self, rotation: Rotation) {
        let near = |reference: &Reference| {
            reference.rotation.inverse().then(rotation).angle_rad().abs() < NEW_REFERENCE_RAD
        };
        if self.references.iter().any(near) {
            return;
        }
        if self.references.len() >= MOST_REFERENCES {
            // The first stays: it is as the user placed it.
            self.references.remove(1);
        }
        let (patch, drift_px2) = (self.running_mean.clone(), self.drift_px2);
        self.references.push(Reference { patch, visible: None, rotation, drift_px2 });
    }

    /// Goes on unseen.
    pub fn coast(&mut self) {
        self.rotation = self.predicted_rotation();
        self.spin_rad *= COASTING_MOTION_KEPT;
        self.drift_px2 += DRIFT_PX2_PER_UNSEEN_FRAME;
    }

    /// Its rotation from frame to frame.
    pub fn spin_rad(&self) -> f64 {
        self.spin_rad
    }

    /// Goes on with a rotation from frame to frame.
    pub fn set_spin_rad(&mut self, spin_rad: f64) {
        self.spin_rad = spin_rad;
    }

    /// Its rotation in the next frame.
    pub(super) fn predicted_rotation(&self) -> Rotation {
        self.rotation.then(Rotation::small_angle(self.spin_rad))
    }
}

/// The smallest patch that its picture holds firmly, else the largest that can be taken; `None` if all are of one grey.
fn firm_patch(region: &Region, at: ImagePoint, in_front: &[Occluder]) -> Option<SizedPatch> {
    let pose = Pose { at, rotation: Rotation::IDENTITY };
    let mut best = None;
    for half_px in SKIN_PATCH_HALVES_PX {
        let Some(patch) = Patch::take(region, pose, half_px) else { continue };
        let first = *patch.values().first()?;
        if patch.values().iter().all(|v| *v == first) {
            continue;
        }
        let even = weights(&vec![0.0; patch.values().len()], half_px);
        let visible = visible_behind(in_front, pose, half_px);
        let Some(even) = visible_weights(&even, [&visible, &None]) else { continue };
        let held = patch.evaluate(region, pose, &even, &mut RigidScratch::default());
        let firm = held.map_or(0.0, |fit| lesser_eigenvalue(fit.hold_per_px2));
        best = Some(SizedPatch { patch, half_px, visible });
        if firm > FIRM_PER_PX2 {
            break;
        }
    }
    best
}

/// Weights with the sum one: round, falling to the rim, and little for pixels that change, as those beside a limb do.
fn weights(change: &[f32], half: usize) -> Vec<f32> {
    let side = 2 * half + 1;
    let limit = (half * half + half) as f32;
    let weight = |(k, c): (usize, &f32)| {
        let (dx, dy) = ((k % side).abs_diff(half), (k / side).abs_diff(half));
        let rim = (1.0 - (dx * dx + dy * dy) as f32 / limit).max(0.0);
        let round = (RIM_SLOPE * rim).min(1.0);
        round / (STEADY * STEADY + c)
    };
    let mut weights: Vec<f32> = change.iter().enumerate().map(weight).collect();
    let total: f32 = weights.iter().sum();
    weights.iter_mut().for_each(|w| *w /= total);
    weights
}

/// The lesser eigenvalue of a symmetric matrix.
fn lesser_eigenvalue([xx, xy, yy]: [f64; 3]) -> f64 {
    0.5 * (xx + yy - ((xx - yy) * (xx - yy) + 4.0 * xy * xy).sqrt())
}
