//! The header: the product's name, the steps, the state of saving, undo and redo.

use super::paper_choice::PaperChoice;
use crate::ui::actions::use_actions;
use crate::ui::store::{Action, Screen, Step, ViewChange};
use document::session::{Session, TrialId};
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct HeaderProps {
    /// The document.
    pub session: Rc<Session>,
    /// The current screen.
    pub screen: Screen,
    /// The current trial.
    pub trial: Option<TrialId>,
    /// Whether there is a change to undo.
    pub can_undo: bool,
    /// Whether there is a change to redo.
    pub can_redo: bool,
    /// The state of saving, in words.
    pub saved: AttrValue,
}

/// The header.
#[component]
pub fn Header(props: &HeaderProps) -> Html {
    let actions = use_actions();
    let open = |screen: Screen| {
        let actions = actions.clone();
        Callback::from(move |_: MouseEvent| actions.change_view(ViewChange::Screen(screen)))
    };
    let dispatch = |action: Action| {
        let actions = actions.clone();
        Callback::from(move |_: MouseEvent| actions.dispatch.dispatch(action.clone()))
    };
    let has_work = !props.session.trials.is_empty();
    html! {
        <header class="page-head">
            <button class="brand" onclick={open(Screen::Home)} aria-label="Stride Ledger, first page">
                <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M3 5H21M3 12H21M3 19H14" /><circle cx="19" cy="19" r="2.4" /></svg>
                <span>{ "Stride Ledger" }</span>
            </button>
            if has_work {
                <nav class="steps" aria-label="Steps">
                    { for Step::ALL.iter().map(|step| {
                        let is_current = props.screen == Screen::Step(*step);
                        html! {
                            <button class={classes!("step", (*step == Step::SideBySide).then_some("comparison"))}
                                aria-current={is_current.then_some("step")} onclick={open(Screen::Step(*step))}>{ step.name() }</button>
                        }
                    }) }
                </nav>
                <div class="head-side">
                    <span class="saved" role="status">{ props.saved.clone() }</span>
                    <button class="small" disabled={!props.can_undo} onclick={dispatch(Action::Undo)}>{ "Undo" }</button>
                    <button class="small" disabled={!props.can_redo} onclick={dispatch(Action::Redo)}>{ "Redo" }</button>
                </div>
            } else {
                <div class="head-side"></div>
            }
            <button class="small guide-link" onclick={open(Screen::Guide)}>{ "How to film" }</button>
            <PaperChoice />
        </header>
    }
}
