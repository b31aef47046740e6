//! The numbers of one trial.

pub mod checks;
pub mod energy;
pub mod estimate;
mod gather;
mod measure;
pub mod motion;
pub mod posture;
pub mod swing;
mod timing;

pub use estimate::{Spread, estimate};
pub use gather::{Gathered, gather};
pub use measure::{Estimate, Measure};
pub use timing::{Timing, of_leg, timing};
