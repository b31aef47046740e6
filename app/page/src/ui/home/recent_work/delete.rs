//! Deletes a session, all of one runner, or everything on this device, after a confirmation.

use crate::browser::storage::{self, StorageError};
use crate::ui::actions::{Actions, use_actions};
use crate::ui::home::open_session::open_empty;
use crate::ui::sentences;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

/// Asks, then deletes a session.
pub fn delete_session(actions: &Actions, id: &str, title: &str, on_deleted: &Callback<()>) {
    if !is_confirmed(&sentences::session::delete(title)) {
        return;
    }
    let (actions, id, on_deleted) = (actions.clone(), id.to_owned(), on_deleted.clone());
    spawn_local(async move {
        // First, so that an autosave under way does not write it again.
        storage::bury(&id);
        if actions.conductor.session().id == id {
            open_empty(&actions);
        }
        finish(&actions, storage::delete(&id).await, &on_deleted);
    });
}

#[derive(Properties, PartialEq)]
pub struct DeleteRunnerProps {
    /// The runner.
    pub runner: AttrValue,
    /// Called once they are deleted.
    pub on_deleted: Callback<()>,
}

/// Deletes every session of a runner.
#[component]
pub fn DeleteRunner(props: &DeleteRunnerProps) -> Html {
    let actions = use_actions();
    let (runner, on_deleted) = (props.runner.clone(), props.on_deleted.clone());
    let onclick = Callback::from(move |_: MouseEvent| {
        if !is_confirmed(&sentences::session::delete_runner(&runner)) {
            return;
        }
        let (actions, runner, on_deleted) = (actions.clone(), runner.clone(), on_deleted.clone());
        spawn_local(async move {
            let current = actions.conductor.session();
            if current.runner.label == *runner {
                storage::bury(&current.id);
                open_empty(&actions);
            }
            finish(&actions, storage::delete_runner(&runner).await, &on_deleted);
        });
    });
    html! { <button class="small" {onclick}>{ sentences::session::delete_all_of(&props.runner) }</button> }
}

#[derive(Properties, PartialEq)]
pub struct DeleteAllProps {
    /// Called once everything is deleted.
    pub on_deleted: Callback<()>,
}

/// Deletes everything on this device.
#[component]
pub fn DeleteAll(props: &DeleteAllProps) -> Html {
    let actions = use_actions();
    let on_deleted = props.on_deleted.clone();
    let onclick = Callback::from(move |_: MouseEvent| {
        if !is_confirmed(sentences::session::DELETE_EVERYTHING) {
            return;
        }
        let (actions, on_deleted) = (actions.clone(), on_deleted.clone());
        spawn_local(async move {
            storage::bury(&actions.conductor.session().id);
            open_empty(&actions);
            finish(&actions, storage::delete_everything().await, &on_deleted);
        });
    });
    html! { <button class="small" {onclick}>{ "Delete everything kept here" }</button> }
}

fn finish(actions: &Actions, result: Result<(), StorageError>, on_deleted: &Callback<()>) {
    if let Err(reason) = result {
        actions.report(reason.to_string());
    }
    on_deleted.emit(());
}

/// Asks a person to confirm.
fn is_confirmed(question: &str) -> bool {
    web_sys::window().and_then(|w| w.confirm_with_message(question).ok()).unwrap_or(false)
}
