//! Monte Carlo simulation of a comparison: both measurements repeated with their errors drawn at random.

mod errors;
mod simulation;
mod trial;

pub use simulation::{MonteCarlo, SpreadOfDifferences};
