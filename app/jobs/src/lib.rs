//! The protocol between page and worker, and the runs that the worker carries out. Pure.

mod camera_run;
mod camera_watch;
mod chroma;
mod coordinates;
mod duplicate_frames;
mod passes;
mod patch_inspection;
mod preview;
pub mod protocol;
mod rejoin;
mod tracking_plan;
mod tracking_run;
mod tracks;

pub use camera_run::CameraRun;
pub use chroma::{Chroma, chroma};
pub use passes::{Pass, passes};
pub use patch_inspection::{INSPECTION_REACH_PX, PatchInspection, inspect_patch};
pub use preview::{Blur, Preview, PreviewRun, preview_plan};
pub use tracking_plan::{Correction, TrackedMarker, TrackingPlan};
pub use tracking_run::TrackingRun;
pub use tracks::Tracks;
