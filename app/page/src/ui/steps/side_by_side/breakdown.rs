//! The breakdown of the difference: cadence and shape in a table, heel lift as a curve.

use crate::ui::components::{CHART_AREA, CurvesView, Shared, TableView};
use document::results::TrialPair;
use document::results::chart::blend_curve;
use document::results::report;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct BreakdownProps {
    /// The pair as first computed, without the spread of the measurement.
    pub pair: Shared<TrialPair>,
}

/// The split of the difference, and the work of blends between the two ways.
#[component]
pub fn Breakdown(props: &BreakdownProps) -> Html {
    let blends = use_memo(props.pair.clone(), |pair| pair.blend());
    html! {
        <>
            if let Some(table) = report::split_table(&props.pair) {
                <TableView table={table.clone()} />
            }
            if let Some(curves) = blend_curve(&blends, CHART_AREA) {
                <CurvesView {curves} area={CHART_AREA} />
            }
            if let Some(sentence) = report::blend_sentence(&blends) {
                <p>{ sentence }</p>
            }
        </>
    }
}
