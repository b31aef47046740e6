//! The panel for the review.

use super::go_to_doubt::{go_to_doubt, go_to_next_doubt};
use super::swap_legs::SwapLegs;
use crate::ui::actions::use_actions;
use crate::ui::sentences;
use document::results::doubt::Doubt;
use document::session::Trial;
use std::rc::Rc;
use yew::prelude::*;

/// Chosen: as many stretches as a person goes through before asking for the list again.
const LISTED: usize = 8;

#[derive(Properties, PartialEq)]
pub struct ReviewPanelProps {
    /// The trial.
    pub trial: Rc<Trial>,
    /// The frame at rest.
    pub frame: u32,
    /// The stretches in doubt, worst first.
    pub doubts: Rc<Vec<Doubt>>,
}

/// The panel.
#[component]
pub fn ReviewPanel(props: &ReviewPanelProps) -> Html {
    let actions = use_actions();
    let next = {
        let (actions, trial, frame) = (actions.clone(), Rc::clone(&props.trial), props.frame);
        Callback::from(move |_: MouseEvent| go_to_next_doubt(&actions, &trial, frame))
    };
    let item = |doubt: &Doubt| {
        let (actions, doubt) = (actions.clone(), doubt.clone());
        let sentence = doubt.sentence();
        html! { <li><button class="line" onclick={move |_| go_to_doubt(&actions, &doubt)}>{ sentence }</button></li> }
    };
    html! {
        <>
            <p role="status">{ sentences::tracking::doubts(&props.doubts) }</p>
            if !props.doubts.is_empty() {
                <button onclick={next}>{ "Next doubtful stretch" }</button>
                <ol class="doubts">{ for props.doubts.iter().take(LISTED).map(item) }</ol>
            }
            <SwapLegs trial={Rc::clone(&props.trial)} frame={props.frame} />
        </>
    }
}
