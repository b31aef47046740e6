//! One stride as 101 body states: position and motion of every landmark and segment.

mod body_state;
mod landmark_states;
mod stride_motion;

pub use body_state::BodyState;
pub use landmark_states::LandmarkStates;
pub use stride_motion::{LIMBS, MotionSource, SAMPLES, StrideMotion, Tracks, mirror};
