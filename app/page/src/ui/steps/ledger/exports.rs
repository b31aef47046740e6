//! Files of one trial's numbers.

use crate::browser::files;
use crate::ui::actions::use_actions;
use crate::ui::components::Shared;
use crate::ui::home::SaveSession;
use document::results::{TrialResult, csv};
use document::session::{Session, Trial};
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct ExportsProps {
    /// The document.
    pub session: Rc<Session>,
    /// The trial to export.
    pub trial: Rc<Trial>,
    /// Its numbers.
    pub result: Shared<TrialResult>,
}

/// Buttons that save measures, positions and the session.
#[component]
pub fn Exports(props: &ExportsProps) -> Html {
    let actions = use_actions();
    let stem = files::safe_stem(&props.trial.name);
    let save = |label: &'static str, name: String, text: Option<String>| {
        let (actions, is_missing) = (actions.clone(), text.is_none());
        let onclick = Callback::from(move |_: MouseEvent| {
            if let Some(text) = &text
                && let Err(reason) = files::save_text(&name, "text/csv", text)
            {
                actions.report(reason.to_string());
            }
        });
        html! { <button disabled={is_missing} {onclick}>{ label }</button> }
    };
    let measures = props.result.as_ref().as_ref().ok().map(|analysed| csv::measures(analysed));
    html! {
        <div class="row">
            { save("Save measures (CSV)", format!("{stem}-measures.csv"), measures) }
            { save("Save positions (CSV)", format!("{stem}-positions.csv"), csv::positions(&props.trial)) }
            <SaveSession session={Rc::clone(&props.session)} />
        </div>
    }
}
