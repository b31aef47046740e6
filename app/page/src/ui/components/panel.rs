//! The frame of every step: the question, the picture, what to do, and the one way on.

use crate::ui::actions::use_hands;
use crate::ui::components::TextField;
use crate::ui::store::{Look, Step};
use document::session::{Session, Trial, TrialCommand, TrialId};
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct StepScreenProps {
    /// The step's question, in a sentence.
    pub question: AttrValue,
    /// The document, for the choice between trials; none where both are looked at.
    #[prop_or_default]
    pub session: Option<Rc<Session>>,
    /// Which trial.
    #[prop_or_default]
    pub trial: Option<TrialId>,
    /// The picture and what belongs to it.
    pub picture: Html,
    /// What to do.
    pub children: Html,
    /// Where the one way on leads, and what is still missing before it (empty: nothing).
    #[prop_or_default]
    pub next: Option<(Step, AttrValue)>,
    /// A class for the whole.
    #[prop_or_default]
    pub class: Classes,
}

/// A step's screen.
#[component]
pub fn StepScreen(props: &StepScreenProps) -> Html {
    let hands = use_hands();
    let next = props.next.as_ref().map(|(step, missing)| {
        let (hands, step) = (hands.clone(), *step);
        html! {
            <div class="way-on">
                if !missing.is_empty() {
                    <p class="quiet">{ missing.clone() }</p>
                }
                <button class={classes!("next", missing.is_empty().then_some("ready"))} onclick={move |_| hands.go(step)}>
                    { format!("Next: {}", step.name()) }
                </button>
            </div>
        }
    });
    html! {
        <main class={classes!("step-screen", props.class.clone())}>
            <div class="question">
                <h1>{ props.question.clone() }</h1>
                if let Some(session) = &props.session {
                    <TrialChoice session={Rc::clone(session)} trial={props.trial} />
                }
            </div>
            <div class="picture-side">{ props.picture.clone() }</div>
            <div class="panel">
                { props.children.clone() }
                { next }
            </div>
        </main>
    }
}

#[derive(Properties, PartialEq)]
struct TrialChoiceProps {
    session: Rc<Session>,
    trial: Option<TrialId>,
}

/// Which of the ways of running the step is about.
#[component]
fn TrialChoice(props: &TrialChoiceProps) -> Html {
    let hands = use_hands();
    let chosen = props.trial.or_else(|| props.session.trials.first().map(|t| t.id));
    if props.session.trials.len() < 2 {
        return Html::default();
    }
    html! {
        <div class="trial-choice" role="group" aria-label="Way of running">
            { for props.session.trials.iter().enumerate().map(|(index, trial)| {
                let (hands, id) = (hands.clone(), trial.id);
                html! {
                    <button class={classes!("trial", ink_of(index))} aria-pressed={(chosen == Some(id)).to_string()}
                        onclick={move |_| hands.look(Look::Trial(id))}>
                        <span class="joint" aria-hidden="true"></span>{ &trial.name }
                    </button>
                }
            }) }
        </div>
    }
}

/// The ink of a trial by its place in the session.
#[must_use]
pub fn ink_of(index: usize) -> &'static str {
    if index == 0 { "first-ink" } else { "second-ink" }
}

#[derive(Properties, PartialEq)]
pub struct TrialNameProps {
    /// Whose name.
    pub trial: Rc<Trial>,
}

/// What a way of running is called.
#[component]
pub fn TrialName(props: &TrialNameProps) -> Html {
    let hands = use_hands();
    let id = props.trial.id;
    let rename = Callback::from(move |name: String| {
        if !name.trim().is_empty() {
            hands.change(id, TrialCommand::Rename(name));
        }
    });
    html! {
        <TextField label="Name of this way of running" value={props.trial.name.clone()} on_change={rename} />
    }
}
