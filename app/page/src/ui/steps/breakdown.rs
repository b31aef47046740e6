//! Where a difference comes from: cadence and shape in a table, heel lift as a curve.

use crate::ui::components::{CurvesView, Shared, TableView};
use document::results::Pair;
use document::results::analyse::blend;
use document::results::chart::blend_curve;
use document::results::report;
use document::results::scene::Area;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct ExplainedProps {
    /// The pair as it was computed, before the measurement was repeated.
    pub pair: Shared<Pair>,
}

const SIZE_PX: (f64, f64) = (400.0, 180.0);

/// The split of the difference and the swing led from one way to the other.
#[component]
pub fn Explained(props: &ExplainedProps) -> Html {
    let steps = use_memo(props.pair.clone(), |pair| blend(pair));
    let area = Area { width_px: SIZE_PX.0, height_px: SIZE_PX.1 };
    html! {
        <>
            if let Some(table) = report::split_table(&props.pair) {
                <TableView table={table.clone()} />
            }
            if let Some(curves) = blend_curve(&steps, area) {
                <CurvesView {curves} size_px={SIZE_PX} />
            }
            if let Some(sentence) = report::blend_sentence(&steps) {
                <p>{ sentence }</p>
            }
        </>
    }
}
