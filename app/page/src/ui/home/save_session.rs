//! Saves the session as a file: the true backup, and the way to another device.

use crate::browser::files;
use crate::ui::actions::use_actions;
use document::session::Session;
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct SaveSessionProps {
    /// The session to save.
    pub session: Rc<Session>,
}

/// The button.
#[component]
pub fn SaveSession(props: &SaveSessionProps) -> Html {
    let actions = use_actions();
    let session = Rc::clone(&props.session);
    let onclick = Callback::from(move |_: MouseEvent| {
        if let Err(reason) = files::save_session(&session) {
            actions.report(reason.to_string());
        }
    });
    html! { <button {onclick}>{ "Save session file" }</button> }
}
