//! The charts of one trial or of two: energy by limb, and the curves over a stride.

use super::chart::{BarsView, CurvesView};
use document::results::TrialAnalysis;
use document::results::chart::{PixelRange, curves, energy_bars, quantities};
use document::results::scene::Area;
use yew::prelude::*;

/// Width of the bar chart, and the two ends of its axis, in its own pixels.
const BARS_WIDTH_PX: f64 = 620.0;
const BARS_AXIS: PixelRange = PixelRange { from_px: 150.0, to_px: 600.0 };

/// The drawing area of a curve chart, in its own pixels.
pub const CHART_AREA: Area = Area { width_px: 400.0, height_px: 180.0 };

/// Energy by limb.
pub fn energy_bars_view(trials: &[&TrialAnalysis]) -> Html {
    html! { <BarsView bars={energy_bars(trials, BARS_AXIS)} width_px={BARS_WIDTH_PX} /> }
}

/// Every quantity over a stride, with a line at `phase`.
pub fn stride_curves(trials: &[&TrialAnalysis], phase: Option<f64>) -> Html {
    html! {
        <div class="curves">
            { for quantities(trials).into_iter().filter_map(|q| curves(q, trials, CHART_AREA))
                .map(|curves| html! { <CurvesView {curves} area={CHART_AREA} {phase} /> }) }
        </div>
    }
}
