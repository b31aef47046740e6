//! The measures of one trial.

pub mod checks;
pub mod energy;
pub mod estimate;
pub mod flight;
mod measure;
pub mod motion;
mod per_stride;
pub mod posture;
pub mod swing;
mod timing;

pub use estimate::{Spread, estimate};
pub use measure::{Estimate, Measure, PerStride};
pub use per_stride::{RunConditions, measure_strides};
pub use timing::{Timing, leg_timing, timing};
