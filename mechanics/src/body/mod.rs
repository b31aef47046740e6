//! The body as a chain of rigid segments between landmarks.

pub mod anthropometry;
pub mod de_leva;
mod landmark;
mod model;
mod segment;

pub use landmark::{Joint, Landmark, MarkerSet};
pub use model::{BodyModel, Lengths};
pub use segment::{End, Limb, Segment, SegmentMotion};

use serde::{Deserialize, Serialize};

/// Which published table gives the masses, centres and radii of the segments.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Table {
    /// Winter 2009, Table 4.1, after Dempster 1955.
    WinterDempster,
    /// de Leva 1996, women.
    DeLevaFemale,
    /// de Leva 1996, men.
    DeLevaMale,
}
