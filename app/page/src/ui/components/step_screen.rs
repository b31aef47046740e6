//! The layout of a step: question, picture, panel, and the button to the next step.

use super::trial_choice::TrialChoice;
use crate::ui::actions::use_actions;
use crate::ui::sentences;
use crate::ui::store::Step;
use document::session::{Session, TrialId};
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct StepScreenProps {
    /// The question of the step.
    pub question: AttrValue,
    /// The document.
    pub session: Rc<Session>,
    /// The current trial.
    pub trial: TrialId,
    /// The picture with its controls.
    pub picture: Html,
    /// The panel.
    pub children: Html,
    /// The next step.
    #[prop_or_default]
    pub next: Option<Step>,
    /// What is missing before the next step; empty if nothing is.
    #[prop_or_default]
    pub missing: AttrValue,
    /// More style-sheet classes for the screen.
    #[prop_or_default]
    pub class: Classes,
}

/// The screen of a step.
#[component]
pub fn StepScreen(props: &StepScreenProps) -> Html {
    let actions = use_actions();
    let next = props.next.map(|step| {
        let is_ready = props.missing.is_empty();
        html! {
            <div class="next-step">
                if !is_ready {
                    <p class="quiet">{ props.missing.clone() }</p>
                }
                <button class={classes!("next", is_ready.then_some("ready"))} onclick={move |_| actions.go_to(step)}>
                    { sentences::step::next(step.name()) }
                </button>
            </div>
        }
    });
    html! {
        <main class={classes!("step-screen", props.class.clone())}>
            <div class="question">
                <h1>{ props.question.clone() }</h1>
                <TrialChoice session={Rc::clone(&props.session)} trial={props.trial} />
            </div>
            <div class="picture-side">{ props.picture.clone() }</div>
            <div class="panel">
                { props.children.clone() }
                { next }
            </div>
        </main>
    }
}
