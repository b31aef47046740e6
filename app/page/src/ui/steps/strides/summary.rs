//! The strides that are used and those that are left out, or what is missing.

use crate::ui::components::{MissingList, Shared};
use crate::ui::sentences;
use document::results::TrialResult;
use yew::prelude::*;

/// Below this number of strides the screen asks for more, as `FEW_STRIDES` says.
const SETTLED_STRIDES: usize = 7;

#[derive(Properties, PartialEq)]
pub struct SummaryProps {
    /// The numbers of the trial, or what is missing for them.
    pub result: Shared<TrialResult>,
}

/// The summary.
#[component]
pub fn Summary(props: &SummaryProps) -> Html {
    let found = match &*props.result {
        Err(incomplete) => return html! { <MissingList missing={incomplete.missing.clone()} /> },
        Ok(done) => &done.analysis,
    };
    let failed = found.checks.iter().filter(|check| !check.holds);
    html! {
        <>
            <p role="status"><b>{ sentences::strides::used(found.strides.len()) }</b></p>
            if found.strides.len() < SETTLED_STRIDES {
                <p class="quiet">{ sentences::strides::FEW_STRIDES }</p>
            }
            { for found.excluded.iter().map(|l| html! { <p>{ sentences::strides::left_out(l.start_s, l.end_s, &l.reason.sentence) }</p> }) }
            { for failed.map(|check| html! { <p class="check"><b>{ &check.found }</b>{ " " }{ &check.what_to_do }</p> }) }
        </>
    }
}
