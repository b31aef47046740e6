//! Series in time: an even grid, gaps, the low-pass filter, its cut-off, derivatives and cycles.

mod cutoff;
mod derivative;
mod filter;
mod grid;
mod interpolate;
mod run;
mod spline;
mod track;

pub use cutoff::{Cutoff, Residuals, residual_cutoff_hz, residuals};
pub use derivative::{central_difference, second_difference};
pub use filter::{Biquad, low_pass, usual_padding};
pub use grid::Grid;
pub use interpolate::at;
pub use run::{LONGEST_FILLED_GAP_S, Run, runs};
pub use spline::Spline;
pub use track::{State, Track};
