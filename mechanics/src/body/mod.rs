//! The body as a chain of rigid segments between landmarks.

pub mod de_leva;
mod model;
mod segment;
mod table;
pub mod winter;

pub use crate::landmark::{Joint, Landmark, MarkerSet};
pub use model::{BodyModel, Lengths};
pub use segment::{End, Limb, Segment, SegmentMotion};
pub use table::Table;
