//! A table of numbers.

use document::results::TextTable;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct TableViewProps {
    /// Caption, headings and rows.
    pub table: TextTable,
}

/// The table; it scrolls sideways if it is wider than the page.
#[component]
pub fn TableView(props: &TableViewProps) -> Html {
    let table = &props.table;
    html! {
        <div class="table-window" tabindex="0" role="region" aria-label={table.caption.clone()}>
            <table class="figures">
                <caption>{ &table.caption }</caption>
                <thead><tr>{ for table.headings.iter().map(|h| html! { <th scope="col">{ h }</th> }) }</tr></thead>
                <tbody>{ for table.rows.iter().map(|row| html! { <tr>{ for row.iter().enumerate().map(|(column, text)| cell(column, text)) }</tr> }) }</tbody>
            </table>
        </div>
    }
}

/// A cell; the first of a row is its heading.
fn cell(column: usize, text: &str) -> Html {
    if column == 0 {
        html! { <th scope="row">{ text }</th> }
    } else {
        html! { <td>{ text }</td> }
    }
}
