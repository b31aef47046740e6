//! The ledger and the measures of one trial or of two.

use super::ink::ink_class;
use crate::ui::sentences;
use document::results::format::ShownValue;
use document::results::report::{Ledger, LedgerLine, MeasureGroup, MeasureLine};
use yew::prelude::*;

/// The ledger: a line for each limb, a double rule, the total.
pub fn ledger_table(ledger: &Ledger, names: &[String]) -> Html {
    let row = |line: &LedgerLine| {
        html! { <tr><th scope="row">{ &line.label }</th>{ for line.shown.iter().map(|s| html! { <td>{ s.pair() }</td> }) }</tr> }
    };
    let unit = ledger.total.shown.first().map_or("", |s| s.unit.symbol());
    html! {
        <>
        <table class="ledger" aria-label="Ledger">
            <caption>{ sentences::results::ledger_caption(unit) }</caption>
            <thead><tr><th scope="col">{ "Limb" }</th>{ for names.iter().enumerate().map(|(i, n)| html! { <th scope="col" class={ink_class(i)}><span class="swatch" aria-hidden="true"></span>{ n }</th> }) }</tr></thead>
            <tbody>{ for ledger.lines.iter().map(row) }</tbody>
            <tfoot>{ row(&ledger.total) }</tfoot>
        </table>
        if !ledger.signs.is_empty() {
            <p class="quiet">{ &ledger.signs }</p>
        }
        </>
    }
}

/// All measures in groups; the heading of each opens its definition.
pub fn measure_tables(groups: &[MeasureGroup], names: &[String]) -> Html {
    groups.iter().map(|group| measure_table(group, names)).collect()
}

fn measure_table(group: &MeasureGroup, names: &[String]) -> Html {
    html! {
        <table class="measures">
            <caption>{ group.title }</caption>
            if names.len() > 1 {
                <thead><tr><td></td>{ for names.iter().map(|n| html! { <th scope="col">{ n }</th> }) }</tr></thead>
            }
            <tbody>{ for group.lines.iter().map(measure_row) }</tbody>
        </table>
    }
}

fn measure_row(line: &MeasureLine) -> Html {
    html! {
        <tr>
            <th scope="row"><details><summary>{ &line.heading }</summary><p>{ line.meaning }</p><p class="quiet">{ line.method }{ " " }{ line.source }</p></details></th>
            { for line.shown.iter().map(|s| html! { <td>{ nowrap_parts(s) }</td> }) }
        </tr>
    }
}

/// The number and its count of strides, neither of which breaks over two lines.
fn nowrap_parts(shown: &ShownValue) -> Html {
    let sentence = shown.sentence();
    match sentence.rsplit_once(" (n ") {
        None => Html::from(sentence),
        Some((number, count)) => html! {
            <><span class="nowrap">{ number }</span>{ " " }<span class="nowrap">{ format!("(n {count}") }</span></>
        },
    }
}
