//! The first page: the purpose of the program, its limits, three ways to begin, and recent work.

use super::example::try_example;
use super::file_button::{FileButton, VIDEO_FILES};
use super::open_clips::open_as_new_trials;
use super::open_session::{open_empty, open_session_file};
use super::recent_work::RecentWork;
use crate::ui::actions::use_actions;
use crate::ui::sentences;
use document::session::Session;
use std::rc::Rc;
use web_sys::File;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct HomeScreenProps {
    /// The current document.
    pub session: Rc<Session>,
    /// Names of files being opened.
    pub opening: Vec<String>,
}

/// The first page.
#[component]
pub fn HomeScreen(props: &HomeScreenProps) -> Html {
    let actions = use_actions();
    let open_clips = {
        let (actions, has_work) = (actions.clone(), !props.session.trials.is_empty());
        Callback::from(move |clips: Vec<File>| {
            if has_work {
                open_empty(&actions);
            }
            open_as_new_trials(&actions, clips);
        })
    };
    let open_file = {
        let actions = actions.clone();
        Callback::from(move |files: Vec<File>| {
            files.into_iter().take(1).for_each(|file| open_session_file(&actions, file));
        })
    };
    let open_example = Callback::from(move |_: MouseEvent| try_example(&actions));
    html! {
        <main class="home">
            <h1>{ sentences::step::LEDGER }</h1>
            <p class="lead">{ "Film a runner from the side in two ways of running; here the joints are followed, and a page shows what moving the limbs costs in each, how sure that is, and how far the two differ." }</p>
            <p class="lead">{ "It cannot know oxygen uptake, running economy or injury. No footage leaves this device." }</p>
            <div class="start-actions">
                <FileButton label="Open a clip" accept={VIDEO_FILES} is_multiple=true on_files={open_clips} is_primary=true />
                <button onclick={open_example}>{ "Try the example" }</button>
                <FileButton label="Open a session file" accept=".json,.stride.json,application/json" on_files={open_file} />
            </div>
            <p class="quiet">{ "MP4, MOV or WebM, also by dropping it anywhere on this page." }</p>
            { for props.opening.iter().map(|name| html! { <p role="status">{ sentences::clip::opening(name) }</p> }) }
            <RecentWork session={props.session.id.clone()} />
        </main>
    }
}
