//! The choice between the trials of a session.

use super::ink::ink_class;
use crate::ui::actions::use_actions;
use crate::ui::store::ViewChange;
use document::session::{Session, TrialId};
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct TrialChoiceProps {
    /// The document.
    pub session: Rc<Session>,
    /// The current trial.
    pub trial: TrialId,
}

/// The choice; nothing for a single trial.
#[component]
pub fn TrialChoice(props: &TrialChoiceProps) -> Html {
    let actions = use_actions();
    if props.session.trials.len() < 2 {
        return Html::default();
    }
    html! {
        <div class="trial-choice" role="group" aria-label="Way of running">
            { for props.session.trials.iter().enumerate().map(|(index, trial)| {
                let (actions, id) = (actions.clone(), trial.id);
                html! {
                    <button class={classes!("trial", ink_class(index))} aria-pressed={(props.trial == id).to_string()}
                        onclick={move |_| actions.change_view(ViewChange::Trial(id))}>
                        <span class="swatch" aria-hidden="true"></span>{ &trial.name }
                    </button>
                }
            }) }
        </div>
    }
}
