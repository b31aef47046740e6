//! What the worker is asked and what it answers, and how a following is planned and run. Pure.

mod camera;
mod differences;
mod glance;
mod job;
mod meeting;
mod passes;
mod run;
mod tryout;
mod twice;

pub use camera::CameraRun;
pub use differences::{Differences, differences};
pub use glance::{GLANCE_REACH_PX, Glance, glance};
pub use job::{Answer, FollowMarker, FollowPlan, Job, JobId, Question};
pub use meeting::Correction;
pub use passes::{Pass, passes};
pub use run::FollowRun;
pub use tryout::{Blur, Tryout, TryoutRun, tryout_plan};
