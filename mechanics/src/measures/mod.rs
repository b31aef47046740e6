//! The numbers of one trial.

mod measure;

pub use measure::{Estimate, Measure};
