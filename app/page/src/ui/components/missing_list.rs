//! What is still to be done before there are numbers, each with the way to the step where it is done.

use crate::ui::actions::use_hands;
use crate::ui::store::Step;
use document::results::Missing;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct MissingListProps {
    /// What is missing.
    pub missing: Vec<Missing>,
}

/// The list.
#[component]
pub fn MissingList(props: &MissingListProps) -> Html {
    let hands = use_hands();
    html! {
        <div class="missing" role="status">
            <p><b>{ "Not yet: there are no numbers before this is done." }</b></p>
            <ul>
                { for props.missing.iter().map(|m| {
                    let (hands, step) = (hands.clone(), Step::from(m.step));
                    html! { <li><span>{ &m.sentence }</span>{ " " }<button class="small" onclick={move |_| hands.go(step)}>{ format!("Go to {}", step.name()) }</button></li> }
                }) }
            </ul>
        </div>
    }
}

impl From<document::results::Step> for Step {
    fn from(step: document::results::Step) -> Self {
        match step {
            document::results::Step::Clip => Step::Clip,
            document::results::Step::Scale => Step::Scale,
            document::results::Step::Markers => Step::Markers,
            document::results::Step::Strides => Step::Strides,
        }
    }
}
