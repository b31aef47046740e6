//! What to know when reading the numbers.

use crate::ui::sentences;
use document::results::TrialAnalysis;
use document::results::report;
use yew::prelude::*;

/// Every caveat of these trials, each once.
pub fn footnotes(trials: &[&TrialAnalysis]) -> Html {
    let notes = report::footnotes(trials);
    html! {
        if !notes.is_empty() {
            <details open=true><summary>{ "What to know when reading these numbers" }</summary><ul>{ for notes.into_iter().map(|n| html! { <li>{ n }</li> }) }</ul></details>
        }
    }
}

/// The cautions under their heading.
pub fn cautions() -> Html {
    html! {
        <>
            <h2>{ sentences::step::CAUTIONS }</h2>
            <ul>{ for report::CAUTIONS.iter().map(|c| html! { <li>{ *c }</li> }) }</ul>
        </>
    }
}
