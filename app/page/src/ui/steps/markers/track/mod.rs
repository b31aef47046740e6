//! Tracks the markers: the preview before, the plan, progress, and corrections after.

mod panel;
mod plan;
mod preview;
mod progress;

pub use panel::TrackPanel;
pub use plan::track_correction;
pub use preview::use_preview;
