//! The body at one instant: landmarks, segments, centre of mass.

use super::landmark_states::LandmarkStates;
use crate::body::{BodyModel, End, SegmentMotion};
use crate::landmark::{Joint, Landmark};
use crate::signal::State;
use nalgebra::Vector2;

/// The body at one instant of a stride.
#[derive(Clone, Debug, PartialEq)]
pub struct BodyState {
    /// Every landmark known; with a mirrored far side, the far ones too.
    pub landmarks: LandmarkStates,
    /// One motion per segment, in the order of the model.
    pub segments: Vec<SegmentMotion>,
    /// Centre of mass of the model's segments: of the body, or of the legs.
    pub centre: State,
    /// Half-way between the hips.
    pub mid_hip: State,
}

impl BodyState {
    /// The body with these landmarks.
    ///
    /// # Errors
    /// The first landmark that a segment needs and that is missing.
    pub fn new(model: &BodyModel, landmarks: LandmarkStates) -> Result<Self, Landmark> {
        let mid_hip = landmarks.end(End::Middle(Joint::Hip))?;
        for needed in [Landmark::NearHeel, Landmark::NearToe] {
            landmarks.get(needed).ok_or(needed)?;
        }
        let segments = Vec::with_capacity(model.segments.len());
        let mut state = Self { landmarks, segments, centre: mid_hip, mid_hip };
        state.refresh(model)?;
        Ok(state)
    }

    /// Recomputes segments and centres after the landmarks have changed.
    ///
    /// The centre of mass is `sum(m x) / sum(m)`, and so are its velocity and acceleration.
    ///
    /// # Errors
    /// The first landmark that a segment needs and that is missing.
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

    /// The position of a landmark; none if it is missing.
    #[must_use]
    pub fn position_m(&self, landmark: Landmark) -> Option<Vector2<f64>> {
        self.landmarks.get(landmark).map(|s| s.position_m)
    }
}
