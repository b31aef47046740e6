//! Uncertainty of the moments, powers and works of the swinging leg due to the measurement.

use super::trial::Trial;
use crate::body::{BodyModel, Limb, Segment};
use crate::landmark::Landmark;
use crate::measures::Measure;
use crate::measures::motion::{BodyState, LandmarkStates, SAMPLES, StrideMotion};
use crate::measures::swing::{JointWork, free_leg_powers};
use nalgebra::{Rotation2, Vector2};
use std::collections::BTreeMap;

/// Moments of hip, knee and ankle, N m, then their powers, W.
pub type JointValues = [f64; 6];

/// The landmarks that these depend on.
const MARKERS: [Landmark; 6] = [
    Landmark::NearHip,
    Landmark::NearKnee,
    Landmark::NearAnkle,
    Landmark::NearHeel,
    Landmark::NearToe,
    Landmark::NearShoulder,
];

/// Moments and powers of one body state in swing; none if a landmark is missing.
pub fn joint_values(model: &BodyModel, state: &BodyState) -> Option<JointValues> {
    let p = free_leg_powers(model, state)?;
    let m = p.moments;
    Some([m.hip_n_m, m.knee_n_m, m.ankle_n_m, p.hip_w, p.knee_w, p.ankle_w])
}

/// Perturbations: each marker along two axes, the scale, the vertical.
const PERTURBATIONS: usize = 2 * MARKERS.len() + 2;

/// SD that the measurement adds to values of the swinging leg.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Uncertainty {
    /// Of moments and powers in the stride's 101 samples; zero while the foot is on the ground.
    pub joint_values: Vec<JointValues>,
    /// Of the works of the joints. J.
    pub joint_works_j: BTreeMap<Measure, f64>,
}

/// The uncertainty due to the measurement, from one stride.
///
/// To first order: the leg is computed again with one marker displaced by its SD along one axis, with the scale wrong by
/// its SD and with the vertical rotated by its SD, and the changes are summed as squares. A marker has the same error in
/// all frames, so that the change of a work is the sum over the swing of the changes of the power. Noise that differs
/// between frames is part of the SD between strides.
/// Source: JCGM 100:2008, section 5.1.2 (law of propagation of uncertainty, changes for derivatives: 5.1.3, note 2).
pub fn uncertainty(model: &BodyModel, stride: &StrideMotion, trial: &Trial) -> Uncertainty {
    let mut joint_values = vec![JointValues::default(); SAMPLES];
    let mut work_changes = [[JointWork::default(); 3]; PERTURBATIONS];
    let of_leg = |s: &&Segment| matches!(s.limb, Limb::NearLeg | Limb::Trunk);
    let leg = BodyModel {
        segments: model.segments.iter().filter(of_leg).copied().collect(),
        whole_body: model.whole_body,
    };
    let swing = stride.samples.iter().zip(&mut joint_values).skip(stride.toe_off() + 1);
    for (state, sd) in swing {
        let Some(mut perturbed) = PerturbedState::new(&leg, state) else { continue };
        perturbed.displace_markers(&state.landmarks, trial.marker_sd_m);
        let scaled = Similarity { ratio: 1.0 + trial.scale_sd_ratio, rotation_rad: 0.0 };
        perturbed.transform(PERTURBATIONS - 2, &state.landmarks, scaled);
        let rotated = Similarity { ratio: 1.0, rotation_rad: trial.vertical_sd_rad };
        perturbed.transform(PERTURBATIONS - 1, &state.landmarks, rotated);
        *sd = root_of_squares(perturbed.changes.iter());
        for (works, change) in work_changes.iter_mut().zip(&perturbed.changes) {
            add_work(works, &perturbed.unperturbed, change, stride.sample_interval_s());
        }
    }
    Uncertainty { joint_values, joint_works_j: work_sds(&work_changes) }
}

fn root_of_squares<'a>(changes: impl Iterator<Item = &'a JointValues>) -> JointValues {
    let mut squares = JointValues::default();
    for change in changes {
        squares.iter_mut().zip(change).for_each(|(square, c)| *square += c * c);
    }
    squares.map(f64::sqrt)
}

/// Adds the effect of a change of the powers on the positive and the negative work of hip, knee and ankle.
fn add_work(
    works: &mut [JointWork; 3],
    unperturbed: &JointValues,
    change: &JointValues,
    interval_s: f64,
) {
    let powers = unperturbed.iter().zip(change).skip(3);
    for (work, (own_w, change_w)) in works.iter_mut().zip(powers) {
        let now_w = own_w + change_w;
        work.positive_j += (now_w.max(0.0) - own_w.max(0.0)) * interval_s;
        work.negative_j += (now_w.min(0.0) - own_w.min(0.0)) * interval_s;
    }
}

/// SD of each work: root sum of squares over the perturbations.
fn work_sds(changes: &[[JointWork; 3]; PERTURBATIONS]) -> BTreeMap<Measure, f64> {
    use Measure as M;
    let joints = [
        (M::HipSwingPositiveWork, M::HipSwingNegativeWork),
        (M::KneeSwingPositiveWork, M::KneeSwingNegativeWork),
        (M::AnkleSwingPositiveWork, M::AnkleSwingNegativeWork),
    ];
    let mut all = BTreeMap::new();
    for (joint, (positive, negative)) in joints.into_iter().enumerate() {
        let works = || changes.iter().filter_map(|w| w.get(joint));
        let sd_j = |of: fn(&JointWork) -> f64| works().map(|w| of(w) * of(w)).sum::<f64>().sqrt();
        all.insert(positive, sd_j(|w| w.positive_j));
        all.insert(negative, sd_j(|w| w.negative_j));
    }
    all
}

/// A change of all positions by a ratio and a rotation.
#[derive(Clone, Copy)]
struct Similarity {
    ratio: f64,
    rotation_rad: f64,
}

/// One body state, perturbed in one way after another.
struct PerturbedState<'a> {
    leg: &'a BodyModel,
    unperturbed: JointValues,
    lengths_m2: Vec<f64>,
    wrong_leg: BodyModel,
    state: BodyState,
    changes: [JointValues; PERTURBATIONS],
}

impl<'a> PerturbedState<'a> {
    fn new(leg: &'a BodyModel, state: &BodyState) -> Option<Self> {
        let mut state = state.clone();
        state.refresh(leg).ok()?;
        Some(Self {
            leg,
            unperturbed: joint_values(leg, &state)?,
            lengths_m2: state.segments.iter().map(|s| s.along_m.norm_squared()).collect(),
            wrong_leg: leg.clone(),
            state,
            changes: [JointValues::default(); PERTURBATIONS],
        })
    }

    /// Displaces each marker along each axis in turn.
    fn displace_markers(&mut self, own: &LandmarkStates, marker_sd_m: f64) {
        if marker_sd_m <= 0.0 {
            return;
        }
        for (k, landmark) in MARKERS.into_iter().enumerate() {
            let Some(state) = own.get(landmark).copied() else { continue };
            let axes = [Vector2::new(marker_sd_m, 0.0), Vector2::new(0.0, marker_sd_m)];
            for (axis, off_m) in axes.into_iter().enumerate() {
                let mut displaced = state;
                displaced.position_m += off_m;
                self.state.landmarks.set(landmark, displaced);
                self.record(2 * k + axis);
            }
            self.state.landmarks.set(landmark, state);
        }
    }

    /// Scales and rotates everything.
    fn transform(&mut self, slot: usize, own: &LandmarkStates, similarity: Similarity) {
        let Similarity { ratio, rotation_rad } = similarity;
        if ratio == 1.0 && rotation_rad == 0.0 {
            return;
        }
        let rotation = Rotation2::new(rotation_rad);
        self.state.landmarks = own.clone();
        for (_, state) in self.state.landmarks.known_mut() {
            state.position_m = rotation * (state.position_m * ratio);
            state.velocity_m_s = rotation * (state.velocity_m_s * ratio);
            state.acceleration_m_s2 = rotation * (state.acceleration_m_s2 * ratio);
        }
        self.record(slot);
    }

    /// Records the change. A segment's inertia is proportional to the square of its measured length.
    fn record(&mut self, slot: usize) {
        if self.state.refresh(self.leg).is_err() {
            return;
        }
        let lengths_m2 = self.state.segments.iter().map(|s| s.along_m.norm_squared());
        let ratios = lengths_m2.zip(&self.lengths_m2).map(|(now, own)| now / own);
        let segments = self.wrong_leg.segments.iter_mut().zip(&self.leg.segments);
        for ((wrong, own), ratio) in segments.zip(ratios) {
            wrong.inertia_kg_m2 = own.inertia_kg_m2 * ratio;
        }
        let (Some(wrong), Some(change)) =
            (joint_values(&self.wrong_leg, &self.state), self.changes.get_mut(slot))
        else {
            return;
        };
        for (change, (wrong, own)) in change.iter_mut().zip(wrong.iter().zip(self.unperturbed)) {
            *change = wrong - own;
        }
    }
}
