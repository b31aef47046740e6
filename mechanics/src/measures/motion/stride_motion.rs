//! A stride sampled from filtered tracks, with the far side mirrored if it is not marked.

use super::body_state::BodyState;
use super::landmark_states::LandmarkStates;
use crate::body::{BodyModel, Limb};
use crate::gait::Stride;
use crate::landmark::{Joint, Landmark};
use crate::signal::{Grid, State, Track};
use crate::space::Side;
use std::collections::BTreeMap;

/// Samples of a stride, both contacts included. Chosen: one per cent of the stride apart, as its curves are drawn.
pub const SAMPLES: usize = 101;

/// Half of a stride in samples: the delay of a mirrored far side.
const HALF: usize = (SAMPLES - 1) / 2;

/// The filtered tracks of a trial.
pub type Tracks = BTreeMap<Landmark, Track>;

/// A stride as body states, evenly spaced in time.
#[derive(Clone, Debug, PartialEq)]
pub struct StrideMotion {
    /// Its contacts and toe-off.
    pub stride: Stride,
    /// [`SAMPLES`] body states, evenly spaced in time.
    pub samples: Vec<BodyState>,
}

/// The filtered tracks that strides are sampled from.
#[derive(Clone, Copy, Debug)]
pub struct MotionSource<'a> {
    /// Filtered tracks.
    pub tracks: &'a Tracks,
    /// Their grid.
    pub grid: &'a Grid,
    /// The segments of the body.
    pub model: &'a BodyModel,
    /// Whether the far side is the near side half a stride later.
    pub mirrored: bool,
}

impl StrideMotion {
    /// Samples a stride.
    ///
    /// # Errors
    /// The first landmark that is missing in a sample.
    pub fn new(source: MotionSource<'_>, stride: Stride) -> Result<Self, Landmark> {
        let mut sampled = sample_landmarks(source, stride);
        if source.mirrored {
            mirror(&mut sampled)?;
        }
        let state = |landmarks: LandmarkStates| BodyState::new(source.model, landmarks);
        let samples = sampled.into_iter().map(state).collect::<Result<Vec<_>, Landmark>>()?;
        Ok(Self { stride, samples })
    }

    /// Index of the last sample at or before toe-off.
    #[must_use]
    pub fn toe_off(&self) -> usize {
        let part = self.stride.contact_s() / self.stride.time_s();
        ((part * (SAMPLES - 1) as f64).floor() as usize).min(SAMPLES - 2)
    }

    /// Time between two samples.
    #[must_use]
    pub fn sample_interval_s(&self) -> f64 {
        self.stride.time_s() / (SAMPLES - 1) as f64
    }

    /// One value from each sample.
    pub fn series<T>(&self, f: impl Fn(&BodyState) -> T) -> Vec<T> {
        self.samples.iter().map(f).collect()
    }
}

/// The landmarks in all samples of a stride, as far as they are known.
fn sample_landmarks(source: MotionSource<'_>, stride: Stride) -> Vec<LandmarkStates> {
    let mut samples = vec![LandmarkStates::default(); SAMPLES];
    for (landmark, track) in source.tracks {
        for (i, sample) in samples.iter_mut().enumerate() {
            let time_s = stride.start_s + i as f64 / (SAMPLES - 1) as f64 * stride.time_s();
            if let Some(state) = track.at(source.grid.index(time_s)) {
                sample.set(*landmark, state);
            }
        }
    }
    samples
}

/// Sets the far side to the near side half a stride later (or earlier), moved by the travel of the hip in that time.
///
/// # Errors
/// The near hip, if it is missing in the first or the last sample.
pub fn mirror(samples: &mut [LandmarkStates]) -> Result<(), Landmark> {
    let hip_x_m = |s: Option<&LandmarkStates>| {
        s.and_then(|s| s.get(Landmark::NearHip)).map(|s| s.position_m.x).ok_or(Landmark::NearHip)
    };
    let travel_m = hip_x_m(samples.last())? - hip_x_m(samples.first())?;
    for joint in JOINTS {
        let (near, far) = (Landmark::of(joint, Side::Near), Landmark::of(joint, Side::Far));
        let states: Vec<Option<State>> = samples.iter().map(|s| s.get(near).copied()).collect();
        for (i, sample) in samples.iter_mut().enumerate() {
            let (other, shift_m) =
                if i < HALF { (i + HALF, -travel_m / 2.0) } else { (i - HALF, travel_m / 2.0) };
            if let Some(mut state) = states.get(other).copied().flatten() {
                state.position_m.x += shift_m;
                sample.set(far, state);
            }
        }
    }
    Ok(())
}

/// The joints that have a far side.
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

/// The limbs in the order in which reports list them.
pub const LIMBS: [Limb; 5] =
    [Limb::NearLeg, Limb::FarLeg, Limb::NearArm, Limb::FarArm, Limb::Trunk];
