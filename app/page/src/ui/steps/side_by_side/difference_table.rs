//! The table of differences.

use crate::ui::sentences;
use document::results::report::DifferenceLine;
use mechanics::measures::Measure;
use yew::prelude::*;

/// The measures that a coach asks for first.
const KEY_MEASURES: [Measure; 6] = [
    Measure::InternalWork,
    Measure::Cadence,
    Measure::HeelLift,
    Measure::PeakKneeFlexion,
    Measure::ContactTime,
    Measure::Speed,
];

/// The differences of the key measures, in their order.
pub fn key_differences(lines: &[DifferenceLine]) -> Vec<DifferenceLine> {
    let line_of = |measure: &Measure| lines.iter().find(|l| l.measure == *measure).cloned();
    KEY_MEASURES.iter().filter_map(line_of).collect()
}

/// The table.
pub fn difference_table(lines: &[DifferenceLine]) -> Html {
    html! {
        <div class="table-window" tabindex="0" role="region" aria-label="Differences">
            <table class="figures">
                <caption>{ "Second less first, with its 95 % interval" }</caption>
                <thead><tr><th scope="col">{ "Measure" }</th><th scope="col">{ "First" }</th><th scope="col">{ "Second" }</th><th scope="col">{ "Difference" }</th><th scope="col">{ "95 %" }</th></tr></thead>
                <tbody>{ for lines.iter().map(row) }</tbody>
            </table>
        </div>
    }
}

fn row(line: &DifferenceLine) -> Html {
    html! {
        <tr>
            <th scope="row">{ &line.heading }<span class="quiet">{ " " }{ line.unit.symbol() }</span></th>
            <td>{ line.first.pair() }</td><td>{ line.second.pair() }</td><td>{ &line.difference }<span class="quiet">{ " " }{ line.verdict }</span></td>
            <td>{ sentences::results::interval(line.interval_95.as_ref()) }</td>
        </tr>
    }
}
