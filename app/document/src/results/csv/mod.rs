//! Positions and measures as comma-separated files that a spreadsheet opens and never executes.

mod measures;
mod positions;
mod writer;

pub use measures::{measures, measures_of_two};
pub use positions::positions;
