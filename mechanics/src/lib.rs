//! Two-dimensional mechanics of running: positions in metres go in, measures with their spread come out.
//!
//! Pure: no files, no clock, no browser, no randomness without a seed. SI units, x forward, y up,
//! angles in radians counter-clockwise.

// The invented runner of benches and tests names this crate from outside.
#[cfg(test)]
extern crate self as mechanics;

pub mod analysis;
pub mod body;
pub mod comparison;
pub mod error;
pub mod gait;
pub mod limits;
pub mod measures;
pub mod note;
pub mod signal;
pub mod source;
pub mod space;
pub mod statistics;

pub use error::Error;
pub use note::Note;
