//! A session in the list of recent work.

use super::delete::delete_session;
use crate::ui::actions::use_actions;
use crate::ui::home::open_session::open_saved;
use crate::ui::sentences;
use document::session::persistence::SessionEntry;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct EntryProps {
    /// The session as the list knows it.
    pub entry: SessionEntry,
    /// Called once it is deleted.
    pub on_deleted: Callback<()>,
}

/// The session's title, which opens it, and a button to delete it.
#[component]
pub fn Entry(props: &EntryProps) -> Html {
    let actions = use_actions();
    let entry = &props.entry;
    let title = sentences::session::title(entry);
    let details = sentences::session::details(entry, &local_time(entry.saved_s));
    let open = {
        let (actions, id) = (actions.clone(), entry.id.clone());
        Callback::from(move |_: MouseEvent| {
            let (actions, id) = (actions.clone(), id.clone());
            spawn_local(async move { open_saved(&actions, &id).await });
        })
    };
    let delete = {
        let (id, title, on_deleted) = (entry.id.clone(), title.clone(), props.on_deleted.clone());
        Callback::from(move |_: MouseEvent| delete_session(&actions, &id, &title, &on_deleted))
    };
    html! {
        <li>
            <button class="line" onclick={open} aria-label={sentences::session::open(&title)}><b>{ title }</b><span class="quiet">{ details }</span></button>
            <button class="small" onclick={delete}>{ "Delete" }</button>
        </li>
    }
}

/// A time in seconds since 1970 (UTC), as the reader's language writes it.
fn local_time(time_s: f64) -> String {
    let date = js_sys::Date::new(&(time_s * 1000.0).into());
    date.to_locale_string("default", &js_sys::Object::new()).into()
}
