//! The geometry of the charts, in pixels of a drawing area, each with its numbers as a table.

mod axis;
mod bars;
mod blend;
mod curves;
mod path;
mod residual;
mod strip;

pub use axis::{Axis, Tick};
pub use bars::{Bar, BarGroup, Bars, energy_bars};
pub use blend::blend_curve;
pub use curves::{CurveLine, Curves, ToeOffMark, curves, quantities};
pub use path::PixelRange;
pub use residual::residual_curves;
pub use strip::{EventTick, Leg, LegPhase, PhaseSpan, StrideMark, Strip, strip};
