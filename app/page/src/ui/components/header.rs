//! The head of the page: the name, the steps, which way of running, what is saved, and the way back.

use crate::ui::actions::use_hands;
use crate::ui::store::{Action, Look, Screen, Step};
use document::session::{Session, TrialId};
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct HeaderProps {
    /// The document.
    pub session: Rc<Session>,
    /// Which screen.
    pub screen: Screen,
    /// Which trial.
    pub trial: Option<TrialId>,
    /// Whether there is a step to take back, and one to take again.
    pub steps_back_and_on: (bool, bool),
    /// Whether the session is saved on this device, in words.
    pub saved: AttrValue,
}

/// The head of the page.
#[component]
pub fn Header(props: &HeaderProps) -> Html {
    let hands = use_hands();
    let go = |screen: Screen| {
        let hands = hands.clone();
        Callback::from(move |_: MouseEvent| hands.look(Look::Screen(screen)))
    };
    let act = |action: Action| {
        let hands = hands.clone();
        Callback::from(move |_: MouseEvent| hands.dispatch.dispatch(action.clone()))
    };
    let at_work = !props.session.trials.is_empty();
    html! {
        <header class="page-head">
            <button class="brand" onclick={go(Screen::Home)} aria-label="Stride Ledger, first page">
                <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M3 5H21M3 12H21M3 19H14" /><circle cx="19" cy="19" r="2.4" /></svg>
                <span>{ "Stride Ledger" }</span>
            </button>
            if at_work {
                <nav class="steps" aria-label="Steps">
                    { for Step::ALL.iter().map(|step| {
                        let here = props.screen == Screen::Step(*step);
                        html! {
                            <button class={classes!("step", (*step == Step::SideBySide).then_some("apart"))}
                                aria-current={here.then_some("step")} onclick={go(Screen::Step(*step))}>{ step.name() }</button>
                        }
                    }) }
                </nav>
                <div class="head-side">
                    <span class="saved" role="status">{ props.saved.clone() }</span>
                    <button class="small" disabled={!props.steps_back_and_on.0} onclick={act(Action::Undo)}>{ "Undo" }</button>
                    <button class="small" disabled={!props.steps_back_and_on.1} onclick={act(Action::Redo)}>{ "Redo" }</button>
                </div>
            } else {
                <div class="head-side"></div>
            }
            <button class="small guide-link" onclick={go(Screen::Guide)}>{ "How to film" }</button>
            <PaperChoice />
        </header>
    }
}

/// The papers, with the word that the style sheet knows them by.
const PAPERS: [(&str, &str); 4] =
    [("Device", ""), ("Light", "light"), ("Dark", "dark"), ("Outdoors", "outdoors")];

/// Which paper the page is printed on.
#[component]
fn PaperChoice() -> Html {
    let choose = Callback::from(|event: Event| {
        use wasm_bindgen::JsCast;
        let chosen = event
            .target()
            .and_then(|t| t.dyn_into::<web_sys::HtmlSelectElement>().ok())
            .map(|s| s.value());
        let root = web_sys::window().and_then(|w| w.document()).and_then(|d| d.document_element());
        if let (Some(paper), Some(root)) = (chosen, root) {
            // Setting a plain attribute on the root is never refused.
            let _ = if paper.is_empty() {
                root.remove_attribute("data-paper")
            } else {
                root.set_attribute("data-paper", &paper)
            };
        }
    });
    html! {
        <label class="paper">
            <span class="quiet">{ "Paper" }</span>
            <select aria-label="Paper" onchange={choose}>
                { for PAPERS.iter().map(|(name, word)| html! { <option value={*word} selected={word.is_empty()}>{ *name }</option> }) }
            </select>
        </label>
    }
}
