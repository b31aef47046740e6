//! What the worker is asked and what it answers, and how a following is planned and run. Pure.

mod camera_run;
mod chroma;
mod duplicate_frames;
mod passes;
mod patch_inspection;
mod preview;
mod protocol;
mod rejoin;
mod tracking_run;

pub use camera_run::CameraRun;
pub use chroma::{Differences, differences};
pub use passes::{Pass, passes};
pub use patch_inspection::{GLANCE_REACH_PX, Glance, glance};
pub use preview::{Blur, Tryout, TryoutRun, tryout_plan};
pub use protocol::{Answer, FollowMarker, FollowPlan, Job, JobId, Question, Told};
pub use rejoin::Correction;
pub use tracking_run::FollowRun;
