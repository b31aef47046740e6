//! What the worker is asked and what it answers. Pure.

mod job;

pub use job::{Answer, FollowMarker, FollowPlan, Job, JobId, Question};
