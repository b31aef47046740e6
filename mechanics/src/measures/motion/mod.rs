//! One stride as 101 moments: where every landmark and every segment is, and how it moves.

mod places;

use crate::body::{BodyModel, End, Joint, Landmark, Limb, SegmentMotion};
use crate::gait::Stride;
use crate::signal::{Grid, State, Track};
use crate::space::Side;
use nalgebra::Vector2;
pub use places::Places;
use std::collections::BTreeMap;

/// Moments of a stride, both contacts included.
pub const MOMENTS: usize = 101;

/// Half of a stride, in moments: how much later the far side is taken to do what the near one did.
const HALF: usize = (MOMENTS - 1) / 2;

/// The filtered tracks of a trial.
pub type Tracks = BTreeMap<Landmark, Track>;

/// The body at one moment of a stride.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    /// Every landmark known then; with a mirrored far side, the far ones too.
    pub landmarks: Places,
    /// One a segment, in the order of the model.
    pub segments: Vec<SegmentMotion>,
    /// Centre of mass of the model's segments: of the body, or of the legs.
    pub centre: State,
    /// Half-way between the hips.
    pub mid_hip: State,
}

/// A stride as moments, evenly spaced in time.
#[derive(Clone, Debug, PartialEq)]
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
        let mut places = sampled(source, stride);
        if source.mirrored {
            mirror(&mut places)?;
        }
        let moment = |landmarks: Places| Moment::new(source.model, landmarks);
        let moments = places.into_iter().map(moment).collect::<Result<Vec<_>, Landmark>>()?;
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

/// The landmarks at all moments of a stride, as far as they are known.
fn sampled(source: Source<'_>, stride: Stride) -> Vec<Places> {
    let mut places = vec![Places::default(); MOMENTS];
    for (landmark, track) in source.tracks {
        for (i, place) in places.iter_mut().enumerate() {
            let time_s = stride.start_s + i as f64 / (MOMENTS - 1) as f64 * stride.time_s();
            if let Some(state) = track.at(source.grid.index(time_s)) {
                place.set(*landmark, state);
            }
        }
    }
    places
}

/// Puts the far side where the near side is half a stride later (or earlier), as far along as the hip travels.
///
/// # Errors
/// When the near hip is not known at both ends.
pub fn mirror(places: &mut [Places]) -> Result<(), Landmark> {
    let hip_x_m = |p: Option<&Places>| {
        p.and_then(|p| p.get(Landmark::NearHip)).map(|s| s.position_m.x).ok_or(Landmark::NearHip)
    };
    let travel_m = hip_x_m(places.last())? - hip_x_m(places.first())?;
    for joint in JOINTS {
        let (near, far) = (Landmark::of(joint, Side::Near), Landmark::of(joint, Side::Far));
        let states: Vec<Option<State>> = places.iter().map(|p| p.get(near).copied()).collect();
        for (i, place) in places.iter_mut().enumerate() {
            let (other, shift_m) =
                if i < HALF { (i + HALF, -travel_m / 2.0) } else { (i - HALF, travel_m / 2.0) };
            if let Some(mut state) = states.get(other).copied().flatten() {
                state.position_m.x += shift_m;
                place.set(far, state);
            }
        }
    }
    Ok(())
}

impl Moment {
    /// The body with its landmarks there.
    ///
    /// # Errors
    /// The landmark that a segment lacks.
    pub fn new(model: &BodyModel, landmarks: Places) -> Result<Self, Landmark> {
        let mid_hip = landmarks.end(End::Middle(Joint::Hip))?;
        for needed in [Landmark::NearHeel, Landmark::NearToe] {
            landmarks.get(needed).ok_or(needed)?;
        }
        let segments = Vec::with_capacity(model.segments.len());
        let mut moment = Self { landmarks, segments, centre: mid_hip, mid_hip };
        moment.refresh(model)?;
        Ok(moment)
    }

    /// Computes segments and centres anew, after the landmarks have changed.
    ///
    /// The centre of mass is `sum(m x) / sum(m)`, and so are its velocity and acceleration.
    ///
    /// # Errors
    /// The landmark that a segment lacks.
    pub fn refresh(&mut self, model: &BodyModel) -> Result<(), Landmark> {
        let Self { landmarks, segments, centre, mid_hip } = self;
        segments.clear();
        let zero = Vector2::zeros();
        let mut sum = State { position_m: zero, velocity_m_s: zero, acceleration_m_s2: zero };
        let whole_kg = model.mass_kg();
        for segment in &model.segments {
            let motion = segment.motion(landmarks.end(segment.from)?, landmarks.end(segment.to)?);
            let part = segment.mass_kg / whole_kg;
            sum.position_m += motion.centre.position_m * part;
            sum.velocity_m_s += motion.centre.velocity_m_s * part;
            sum.acceleration_m_s2 += motion.centre.acceleration_m_s2 * part;
            segments.push(motion);
        }
        *centre = sum;
        *mid_hip = landmarks.end(End::Middle(Joint::Hip))?;
        Ok(())
    }

    /// Where a landmark is.
    #[must_use]
    pub fn place(&self, landmark: Landmark) -> Option<Vector2<f64>> {
        self.landmarks.get(landmark).map(|s| s.position_m)
    }
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

/// The limbs in the order of the ledger.
pub const LIMBS: [Limb; 5] =
    [Limb::NearLeg, Limb::FarLeg, Limb::NearArm, Limb::FarArm, Limb::Trunk];
