//! One stride as 101 moments: where every landmark and every segment is, and how it moves.

use crate::body::{BodyModel, End, Joint, Landmark, Limb, SegmentMotion};
use crate::gait::Stride;
use crate::signal::{Grid, State, Track};
use crate::space::Side;
use nalgebra::Vector2;
use std::collections::BTreeMap;

/// Moments of a stride, both contacts included.
pub const MOMENTS: usize = 101;

/// The filtered tracks of a trial.
pub type Tracks = BTreeMap<Landmark, Track>;

/// The body at one moment of a stride.
#[derive(Clone, Debug)]
pub struct Moment {
    /// Every landmark known then; with a mirrored far side, the far ones too.
    pub landmarks: BTreeMap<Landmark, State>,
    /// One a segment, in the order of the model.
    pub segments: Vec<SegmentMotion>,
    /// Centre of mass of the model's segments: of the body, or of the legs.
    pub centre: State,
    /// Half-way between the hips.
    pub mid_hip: State,
}

/// A stride as moments, evenly spaced in time.
#[derive(Clone, Debug)]
pub struct StrideMotion {
    /// Which.
    pub stride: Stride,
    /// 101 of them.
    pub moments: Vec<Moment>,
}

/// What a stride is sampled from.
#[derive(Clone, Copy, Debug)]
pub struct Source<'a> {
    /// Filtered tracks.
    pub tracks: &'a Tracks,
    /// Their grid.
    pub grid: &'a Grid,
    /// The segments.
    pub model: &'a BodyModel,
    /// Whether the far side is the near side half a stride later.
    pub mirrored: bool,
}

impl StrideMotion {
    /// The stride's moments; `Err` names the landmark that is not known throughout.
    ///
    /// # Errors
    /// The first landmark that is missing in some moment.
    pub fn new(source: Source<'_>, stride: Stride) -> Result<Self, Landmark> {
        let hip = |phase: f64| state(source, Landmark::NearHip, stride, phase);
        let (begin, end) = (hip(0.0).ok_or(Landmark::NearHip)?, hip(1.0).ok_or(Landmark::NearHip)?);
        let travel = end.position_m.x - begin.position_m.x;
        let moment = |i: usize| moment(source, stride, i as f64 / (MOMENTS - 1) as f64, travel);
        let moments = (0..MOMENTS).map(moment).collect::<Result<Vec<_>, Landmark>>()?;
        Ok(Self { stride, moments })
    }

    /// The index of the last moment at or before toe-off.
    #[must_use]
    pub fn toe_off(&self) -> usize {
        let part = self.stride.contact_s() / self.stride.time_s();
        ((part * (MOMENTS - 1) as f64).floor() as usize).min(MOMENTS - 2)
    }

    /// Time between two moments.
    #[must_use]
    pub fn step_s(&self) -> f64 {
        self.stride.time_s() / (MOMENTS - 1) as f64
    }

    /// A number from each moment.
    pub fn series<T>(&self, f: impl Fn(&Moment) -> T) -> Vec<T> {
        self.moments.iter().map(f).collect()
    }
}

impl Moment {
    /// A landmark that every stride has.
    #[must_use]
    pub fn place(&self, landmark: Landmark) -> Option<Vector2<f64>> {
        self.landmarks.get(&landmark).map(|s| s.position_m)
    }
}

fn state(source: Source<'_>, landmark: Landmark, stride: Stride, phase: f64) -> Option<State> {
    let time_s = stride.start_s + phase * stride.time_s();
    source.tracks.get(&landmark)?.at(source.grid.index(time_s))
}

fn moment(
    source: Source<'_>,
    stride: Stride,
    phase: f64,
    travel_m: f64,
) -> Result<Moment, Landmark> {
    let mut landmarks = BTreeMap::new();
    for landmark in source.tracks.keys() {
        if let Some(state) = state(source, *landmark, stride, phase) {
            landmarks.insert(*landmark, state);
        }
    }
    if source.mirrored {
        for joint in JOINTS {
            let (near, far) = (Landmark::of(joint, Side::Near), Landmark::of(joint, Side::Far));
            let (other, shift_m) = if phase < 0.5 {
                (phase + 0.5, -travel_m / 2.0)
            } else {
                (phase - 0.5, travel_m / 2.0)
            };
            if let Some(mut state) = state(source, near, stride, other) {
                state.position_m.x += shift_m;
                landmarks.insert(far, state);
            }
        }
    }
    let segments = source
        .model
        .segments
        .iter()
        .map(|s| Ok(s.motion(end_state(&landmarks, s.from)?, end_state(&landmarks, s.to)?)))
        .collect::<Result<Vec<_>, Landmark>>()?;
    let centre = centre(source.model, &segments);
    let mid_hip = end_state(&landmarks, End::Middle(Joint::Hip))?;
    for needed in [Landmark::NearHeel, Landmark::NearToe] {
        landmarks.get(&needed).ok_or(needed)?;
    }
    Ok(Moment { landmarks, segments, centre, mid_hip })
}

const JOINTS: [Joint; 8] = [
    Joint::Shoulder,
    Joint::Elbow,
    Joint::Wrist,
    Joint::Hip,
    Joint::Knee,
    Joint::Ankle,
    Joint::Heel,
    Joint::Toe,
];

fn end_state(landmarks: &BTreeMap<Landmark, State>, end: End) -> Result<State, Landmark> {
    let of = |joint, side| {
        let landmark = Landmark::of(joint, side);
        landmarks.get(&landmark).copied().ok_or(landmark)
    };
    match end {
        End::Of(joint, side) => of(joint, side),
        End::Middle(joint) => Ok(of(joint, Side::Near)?.blend(of(joint, Side::Far)?, 0.5)),
    }
}

/// Place, velocity and acceleration of the centre of mass: `sum(m x) / sum(m)`.
fn centre(model: &BodyModel, segments: &[SegmentMotion]) -> State {
    let zero = Vector2::zeros();
    let mut sum = State { position_m: zero, velocity_m_s: zero, acceleration_m_s2: zero };
    for (segment, motion) in model.segments.iter().zip(segments) {
        let part = segment.mass_kg / model.mass_kg();
        sum.position_m += motion.centre.position_m * part;
        sum.velocity_m_s += motion.centre.velocity_m_s * part;
        sum.acceleration_m_s2 += motion.centre.acceleration_m_s2 * part;
    }
    sum
}

/// The limbs in the order of the ledger.
pub const LIMBS: [Limb; 5] =
    [Limb::NearLeg, Limb::FarLeg, Limb::NearArm, Limb::FarArm, Limb::Trunk];
