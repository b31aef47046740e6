//! In place of the comparison: what is missing for it.

use crate::ui::components::MissingList;
use crate::ui::home::OpenClipsButton;
use crate::ui::sentences;
use document::results::Missing;
use document::session::Session;
use yew::prelude::*;

/// What a trial is missing for its numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct MissingInTrial {
    /// Name of the trial.
    pub trial: String,
    /// What is missing.
    pub missing: Vec<Missing>,
}

/// The screen while the comparison cannot be made.
pub fn not_yet(session: &Session, missing: &[MissingInTrial]) -> Html {
    html! {
        <main class="step-screen no-picture">
            <div class="question"><h1>{ sentences::step::SIDE_BY_SIDE }</h1></div>
            <div class="panel">
                if session.trials.len() < 2 {
                    <p>{ "Two clips are needed: the same runner, at the same speed, in two ways." }</p>
                    <OpenClipsButton is_primary=true />
                }
                { for missing.iter().map(|m| html! { <><h2>{ &m.trial }</h2><MissingList missing={m.missing.clone()} /></> }) }
            </div>
        </main>
    }
}
