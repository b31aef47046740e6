//! The sessions on this device, newest first, with ways to open and delete them.

mod delete;
mod entry;

use crate::browser::storage;
use crate::ui::actions::use_actions;
use crate::ui::sentences;
use delete::{DeleteAll, DeleteRunner};
use document::session::persistence::SessionEntry;
use entry::Entry;
use std::collections::BTreeSet;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct RecentWorkProps {
    /// Id of the current session; the list is read again when it changes.
    pub session: AttrValue,
}

/// The list.
#[component]
pub fn RecentWork(props: &RecentWorkProps) -> Html {
    let actions = use_actions();
    let entries = use_state_eq(|| None::<Vec<SessionEntry>>);
    let storage_space = use_state_eq(String::new);
    let on_deleted = {
        let (entries, storage_space) = (entries.clone(), storage_space.clone());
        Callback::from(move |()| {
            let (entries, storage_space) = (entries.clone(), storage_space.clone());
            let actions = actions.clone();
            spawn_local(async move {
                match storage::list().await {
                    Ok(list) => entries.set(Some(list)),
                    Err(reason) => actions.report(reason.to_string()),
                }
                storage_space.set(storage_sentences().await);
            });
        })
    };
    {
        let read = on_deleted.clone();
        use_effect_with(props.session.clone(), move |_| read.emit(()));
    }
    let Some(list) = &*entries else {
        return html! { <p class="quiet">{ "Reading recent work." }</p> };
    };
    html! {
        <section class="recent" aria-labelledby="recent-work">
            <h2 id="recent-work">{ "Recent work" }</h2>
            if list.is_empty() {
                <p class="quiet">{ "Nothing yet. What you do here is saved on this device by itself." }</p>
            } else {
                <ul aria-labelledby="recent-work">
                    { for list.iter().map(|entry| html! { <Entry entry={entry.clone()} on_deleted={on_deleted.clone()} /> }) }
                </ul>
                { for repeated_runners(list).into_iter().map(|runner| html! { <DeleteRunner {runner} on_deleted={on_deleted.clone()} /> }) }
                <p class="quiet">{ (*storage_space).clone() }</p>
                <DeleteAll on_deleted={on_deleted.clone()} />
            }
        </section>
    }
}

/// The runners with more than one session.
fn repeated_runners(list: &[SessionEntry]) -> BTreeSet<String> {
    let is_repeated = |entry: &&SessionEntry| {
        let same = list.iter().filter(|other| other.runner == entry.runner);
        !entry.runner.is_empty() && same.count() > 1
    };
    list.iter().filter(is_repeated).map(|entry| entry.runner.clone()).collect()
}

/// The space that the browser offers, and whether it may clear it by itself.
async fn storage_sentences() -> String {
    let promise = storage::is_persisted().await.sentence();
    match storage::room().await {
        Some(room) => {
            let space = sentences::session::space(room.used_bytes, room.offered_bytes);
            [&space, promise].join(" ")
        }
        None => promise.to_owned(),
    }
}
