//! Series in time: an even grid, gaps, the low-pass filter and its cut-off, derivatives.

mod cutoff;
mod derivative;
mod filter;
mod grid;
mod interpolate;
mod segment;
mod spline;
mod track;

pub use cutoff::{Cutoff, Residuals, residual_cutoff_hz, residuals};
pub use derivative::{central_difference, second_difference};
pub use filter::{Biquad, default_padding, low_pass};
pub use grid::Grid;
pub use interpolate::interpolate;
pub use segment::{TrackSegment, track_segments};
pub use spline::Spline;
pub use track::{State, Track};
