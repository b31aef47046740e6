//! What is missing before there are numbers, with the way to each step concerned.

use crate::ui::actions::use_actions;
use crate::ui::sentences;
use crate::ui::store::Step;
use document::results::{self, Missing};
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct MissingListProps {
    /// What is missing.
    pub missing: Vec<Missing>,
}

/// The list.
#[component]
pub fn MissingList(props: &MissingListProps) -> Html {
    let actions = use_actions();
    html! {
        <div class="missing" role="status">
            <p><b>{ sentences::step::NO_NUMBERS_YET }</b></p>
            <ul>
                { for props.missing.iter().map(|missing| {
                    let (actions, step) = (actions.clone(), Step::from(missing.step()));
                    html! { <li><span>{ &missing.sentence }</span>{ " " }<button class="small" onclick={move |_| actions.go_to(step)}>{ sentences::step::go_to(step.name()) }</button></li> }
                }) }
            </ul>
        </div>
    }
}

impl From<results::WorkStep> for Step {
    fn from(step: results::WorkStep) -> Self {
        match step {
            results::WorkStep::Clip => Step::Clip,
            results::WorkStep::Scale => Step::Scale,
            results::WorkStep::Markers => Step::Markers,
            results::WorkStep::Strides => Step::Strides,
        }
    }
}
