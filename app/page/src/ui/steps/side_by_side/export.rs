//! A printed page for the runner, and files of the comparison.

use crate::browser::files;
use crate::ui::actions::use_actions;
use crate::ui::components::Shared;
use crate::ui::home::SaveSession;
use document::results::{TrialPair, csv};
use document::session::Session;
use std::rc::Rc;
use yew::prelude::*;

const MEASURES_FILE: &str = "side-by-side-measures.csv";

#[derive(Properties, PartialEq)]
pub struct ExportProps {
    /// The document.
    pub session: Rc<Session>,
    /// The two trials with their comparison.
    pub pair: Shared<TrialPair>,
}

/// The buttons.
#[component]
pub fn Export(props: &ExportProps) -> Html {
    let actions = use_actions();
    let print = Callback::from(|_: MouseEvent| {
        if let Some(window) = web_sys::window() {
            // A browser without a print dialog does nothing.
            let _ = window.print();
        }
    });
    let pair = props.pair.clone();
    let save_measures = Callback::from(move |_: MouseEvent| {
        let text = csv::measures_of_two(&pair);
        if let Err(reason) = files::save_text(MEASURES_FILE, "text/csv", &text) {
            actions.report(reason.to_string());
        }
    });
    html! {
        <div class="row export">
            <button class="ready" onclick={print}>{ "Print a page for the runner" }</button>
            <button onclick={save_measures}>{ "Save measures (CSV)" }</button>
            <SaveSession session={Rc::clone(&props.session)} />
        </div>
    }
}
