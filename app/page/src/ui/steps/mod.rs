//! The steps of the work, one screen each.

mod clip;
mod clip_picture;
mod ledger;
mod markers;
mod nudge;
mod props;
mod scale;
mod side_by_side;
mod strides;

pub use clip::ClipStep;
pub use ledger::LedgerStep;
pub use markers::MarkersStep;
pub use props::StepProps;
pub use scale::ScaleStep;
pub use side_by_side::{MissingInTrial, SideBySideStep};
pub use strides::StridesStep;
