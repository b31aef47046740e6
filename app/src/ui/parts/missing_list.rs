//! What is still to be done before there are numbers, each with the way to the step where it is done.

use crate::results::Missing;
use crate::ui::hands::use_hands;
use crate::ui::store::Step;
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

impl From<crate::results::Step> for Step {
    fn from(step: crate::results::Step) -> Self {
        match step {
            crate::results::Step::Clip => Step::Clip,
            crate::results::Step::Scale => Step::Scale,
            crate::results::Step::Markers => Step::Markers,
            crate::results::Step::Strides => Step::Strides,
        }
    }
}
