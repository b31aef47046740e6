//! How unsure the measurement makes the moments, powers and works of the swinging leg.

use super::Trial;
use crate::body::{BodyModel, Landmark, Limb};
use crate::measures::Measure;
use crate::measures::motion::{MOMENTS, Moment, Places, StrideMotion};
use crate::measures::swing::free_leg_powers;
use nalgebra::{Rotation2, Vector2};
use std::collections::BTreeMap;

/// Moments of hip, knee and ankle, N m, then their powers, W.
pub type Six = [f64; 6];

/// The landmarks on whose places these hang.
const MARKED: [Landmark; 6] = [
    Landmark::NearHip,
    Landmark::NearKnee,
    Landmark::NearAnkle,
    Landmark::NearHeel,
    Landmark::NearToe,
    Landmark::NearShoulder,
];

/// Moments and powers at one moment of swing; none where a landmark is not known.
pub fn six(model: &BodyModel, moment: &Moment) -> Option<Six> {
    let p = free_leg_powers(model, moment)?;
    let m = p.moments;
    Some([m.hip_n_m, m.knee_n_m, m.ankle_n_m, p.hip_w, p.knee_w, p.ankle_w])
}

/// Each landmark along two axes, the scale, upright.
const TRIES: usize = 2 * MARKED.len() + 2;

/// What the measurement adds to the SD of what is computed of the swinging leg.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measured {
    /// Of moments and powers at the stride's 101 moments; zero while the foot is on the ground.
    pub of_curves: Vec<Six>,
    /// Of the works of the joints. J.
    pub of_works_j: BTreeMap<Measure, f64>,
}

/// What the measurement adds, as one stride tells.
///
/// To first order: the leg is computed again with one marker off by its SD along one axis, with the scale off
/// by its own and with upright turned by its own, and the changes are summed as squares. A marker is off by the
/// same in all frames, so that the change of a work is the sum over the swing of those of the power; noise that is
/// new in each frame is in the spread of the strides.
/// Source: JCGM 100:2008, section 5.1.2 (law of propagation of uncertainty, changes for derivatives: 5.1.3, note 2).
pub fn measured(model: &BodyModel, stride: &StrideMotion, trial: &Trial) -> Measured {
    let mut of_curves = vec![Six::default(); MOMENTS];
    let mut of_works = [[(0.0, 0.0); 3]; TRIES];
    let legs = |s: &&crate::body::Segment| matches!(s.limb, Limb::NearLeg | Limb::Trunk);
    let leg = BodyModel {
        segments: model.segments.iter().filter(legs).copied().collect(),
        whole_body: model.whole_body,
    };
    let swing = stride.moments.iter().zip(&mut of_curves).skip(stride.toe_off() + 1);
    for (moment, sd) in swing {
        let Some(mut trying) = Trying::new(&leg, moment) else { continue };
        trying.markers(&moment.landmarks, trial.marker_sd_m);
        trying.whole(TRIES - 2, &moment.landmarks, (1.0 + trial.scale_sd_ratio, 0.0));
        trying.whole(TRIES - 1, &moment.landmarks, (1.0, trial.vertical_sd_rad));
        *sd = root_of_squares(trying.changes.iter());
        for (works, change) in of_works.iter_mut().zip(&trying.changes) {
            add_work(works, &trying.own, change, stride.step_s());
        }
    }
    Measured { of_curves, of_works_j: by_measure(&of_works) }
}

fn root_of_squares<'a>(changes: impl Iterator<Item = &'a Six>) -> Six {
    let mut squares = Six::default();
    for change in changes {
        squares.iter_mut().zip(change).for_each(|(square, c)| *square += c * c);
    }
    squares.map(f64::sqrt)
}

/// Adds what a change of the powers does to the positive and the negative work of hip, knee and ankle.
fn add_work(works: &mut [(f64, f64); 3], own: &Six, change: &Six, step_s: f64) {
    let powers = own.iter().zip(change).skip(3);
    for ((positive_j, negative_j), (own_w, change_w)) in works.iter_mut().zip(powers) {
        let now_w = own_w + change_w;
        *positive_j += (now_w.max(0.0) - own_w.max(0.0)) * step_s;
        *negative_j += (now_w.min(0.0) - own_w.min(0.0)) * step_s;
    }
}

fn by_measure(of_works: &[[(f64, f64); 3]; TRIES]) -> BTreeMap<Measure, f64> {
    use Measure as M;
    let joints = [
        (M::HipSwingPositiveWork, M::HipSwingNegativeWork),
        (M::KneeSwingPositiveWork, M::KneeSwingNegativeWork),
        (M::AnkleSwingPositiveWork, M::AnkleSwingNegativeWork),
    ];
    let mut all = BTreeMap::new();
    for (joint, (positive, negative)) in joints.into_iter().enumerate() {
        let works = || of_works.iter().filter_map(|w| w.get(joint));
        all.insert(positive, works().map(|w| w.0 * w.0).sum::<f64>().sqrt());
        all.insert(negative, works().map(|w| w.1 * w.1).sum::<f64>().sqrt());
    }
    all
}

/// One moment of which one thing after another is made wrong.
struct Trying<'a> {
    leg: &'a BodyModel,
    own: Six,
    own_lengths_m2: Vec<f64>,
    wrong: BodyModel,
    moment: Moment,
    changes: [Six; TRIES],
}

impl<'a> Trying<'a> {
    fn new(leg: &'a BodyModel, moment: &Moment) -> Option<Self> {
        let mut moment = moment.clone();
        moment.refresh(leg).ok()?;
        Some(Self {
            leg,
            own: six(leg, &moment)?,
            own_lengths_m2: moment.segments.iter().map(|s| s.along_m.norm_squared()).collect(),
            wrong: leg.clone(),
            moment,
            changes: [Six::default(); TRIES],
        })
    }

    /// Each marker off along each axis.
    fn markers(&mut self, own: &Places, marker_sd_m: f64) {
        if marker_sd_m <= 0.0 {
            return;
        }
        for (k, landmark) in MARKED.into_iter().enumerate() {
            let Some(state) = own.get(landmark).copied() else { continue };
            let axes = [Vector2::new(marker_sd_m, 0.0), Vector2::new(0.0, marker_sd_m)];
            for (axis, off_m) in axes.into_iter().enumerate() {
                let mut moved = state;
                moved.position_m += off_m;
                self.moment.landmarks.set(landmark, moved);
                self.note(2 * k + axis);
            }
            self.moment.landmarks.set(landmark, state);
        }
    }

    /// Everything larger by a ratio and turned by an angle.
    fn whole(&mut self, slot: usize, own: &Places, (ratio, turned_rad): (f64, f64)) {
        if ratio == 1.0 && turned_rad == 0.0 {
            return;
        }
        let turned = Rotation2::new(turned_rad);
        self.moment.landmarks = own.clone();
        for (_, state) in self.moment.landmarks.known_mut() {
            state.position_m = turned * (state.position_m * ratio);
            state.velocity_m_s = turned * (state.velocity_m_s * ratio);
            state.acceleration_m_s2 = turned * (state.acceleration_m_s2 * ratio);
        }
        self.note(slot);
    }

    /// Notes what has changed. A segment's inertia goes with the square of its length as measured.
    fn note(&mut self, slot: usize) {
        if self.moment.refresh(self.leg).is_err() {
            return;
        }
        let lengths_m2 = self.moment.segments.iter().map(|s| s.along_m.norm_squared());
        let ratios = lengths_m2.zip(&self.own_lengths_m2).map(|(now, own)| now / own);
        let segments = self.wrong.segments.iter_mut().zip(&self.leg.segments);
        for ((wrong, own), ratio) in segments.zip(ratios) {
            wrong.inertia_kg_m2 = own.inertia_kg_m2 * ratio;
        }
        let (Some(wrong), Some(change)) =
            (six(&self.wrong, &self.moment), self.changes.get_mut(slot))
        else {
            return;
        };
        for (change, (wrong, own)) in change.iter_mut().zip(wrong.iter().zip(self.own)) {
            *change = wrong - own;
        }
    }
}
