//! Swaps near and far leg between two crossings, if the tracker mistook them for each other.

use crate::ui::actions::use_actions;
use crate::ui::sentences;
use document::session::{Trial, TrialCommand};
use mechanics::body::MarkerSet;
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct SwapLegsProps {
    /// The trial.
    pub trial: Rc<Trial>,
    /// The frame at rest.
    pub frame: u32,
}

/// The button; nothing if the far leg is not marked.
#[component]
pub fn SwapLegs(props: &SwapLegsProps) -> Html {
    let actions = use_actions();
    let trial = &props.trial;
    if trial.marker_set != MarkerSet::BothSides {
        return Html::default();
    }
    let Some((first, last)) = trial.between_crossings(props.frame) else {
        return html! { <p class="quiet">{ sentences::tracking::SWAP_ELSEWHERE }</p> };
    };
    let id = trial.id;
    let swap =
        move |_: MouseEvent| actions.change_trial(id, TrialCommand::SwapLegs { first, last });
    html! { <button onclick={swap}>{ sentences::tracking::swap_legs(first, last) }</button> }
}
