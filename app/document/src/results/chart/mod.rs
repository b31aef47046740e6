//! The geometry of the charts, in pixels of a drawing area, each with the table that stands behind it.

mod axis;
mod bars;
mod blend;
mod curves;
mod residual;
mod strip;

pub use axis::{Axis, Tick, axis};
pub use bars::{Bar, BarGroup, Bars, energy_bars, energy_bars_height_px};
pub use blend::blend_curve;
pub use curves::{CurveLine, Curves, Marker, curves, quantities, quantity_name};
pub use residual::residual_curves;
pub use strip::{EventTick, Leg, Phase, Span, StrideMark, Strip, strip};

/// The rows behind a chart, as text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// One a column, with the unit.
    pub headings: Vec<String>,
    /// Each with one cell a column.
    pub rows: Vec<Vec<String>>,
}

/// The name of a trial by its place: `first`, `second`.
#[must_use]
pub fn ordinal(trial: usize) -> &'static str {
    if trial == 0 { "first" } else { "second" }
}
