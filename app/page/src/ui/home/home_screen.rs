//! The first page: what this is for, what it cannot know, three ways to begin, and recent work.

use super::FileButton;
use super::clips::{open_as_new_trials, open_kept};
use super::example::try_example;
use crate::browser::clock::pause;
use crate::browser::storage::{self, locks};
use crate::browser::{files, random_name};
use crate::ui::actions::{Hands, use_hands};
use crate::ui::store::{Action, Screen, Step};
use document::session::Session;
use document::session::persistence::Kept;
use std::collections::BTreeSet;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use web_sys::File;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct HomeScreenProps {
    /// The document at hand.
    pub session: Rc<Session>,
    /// Names of files being opened.
    pub opening: Vec<String>,
}

/// The first page.
#[component]
pub fn HomeScreen(props: &HomeScreenProps) -> Html {
    let hands = use_hands();
    let open = {
        let (hands, at_work) = (hands.clone(), !props.session.trials.is_empty());
        Callback::from(move |clips: Vec<File>| {
            if at_work {
                begin_anew(&hands);
            }
            open_as_new_trials(&hands, clips);
        })
    };
    let open_file = {
        let hands = hands.clone();
        Callback::from(move |chosen: Vec<File>| {
            chosen.into_iter().take(1).for_each(|f| open_session_file(&hands, f))
        })
    };
    let example = {
        let hands = hands.clone();
        Callback::from(move |_: MouseEvent| try_example(&hands))
    };
    html! {
        <main class="home">
            <h1>{ "What does a stride cost?" }</h1>
            <p class="lead">{ "Film a runner from the side in two ways of running; here the joints are followed, and a page shows what moving the limbs costs in each, how sure that is, and how far the two differ." }</p>
            <p class="lead">{ "It cannot know oxygen uptake, running economy or injury. No footage leaves this device." }</p>
            <div class="ways-in">
                <FileButton label="Open a clip" accept="video/*,.mp4,.mov,.webm,.m4v" many=true on_files={open} first=true />
                <button onclick={example}>{ "Try the example" }</button>
                <FileButton label="Open a session file" accept=".json,.stride.json,application/json" on_files={open_file} />
            </div>
            <p class="quiet">{ "MP4, MOV or WebM, also by dropping it anywhere on this page." }</p>
            { for props.opening.iter().map(|name| html! { <p role="status">{ format!("Opening {name}") }</p> }) }
            <RecentWork present={props.session.id.clone()} />
        </main>
    }
}

/// An empty session takes the place of the present one, which is kept.
fn begin_anew(hands: &Hands) {
    hands.conductor.close_all();
    hands.dispatch.dispatch(Action::Open(Rc::new(Session::empty(random_name())), Screen::Home));
    hands.conductor.now_at(Rc::new(Session::empty(String::new())));
}

fn open_session_file(hands: &Hands, file: File) {
    let hands = hands.clone();
    spawn_local(async move {
        match files::open_session(&file).await {
            Ok(read) => match storage::beside_what_is_kept(read.session.clone()).await {
                Ok(session) => look_at(&hands, session, read.read_only).await,
                // It can be looked at and worked on; that it cannot be saved is said then.
                Err(_) => look_at(&hands, read.session, read.read_only).await,
            },
            Err(error) => hands.complain(error.to_string()),
        }
    });
}

/// The session takes the place of the present one; its clips are opened where they are kept. It is
/// only shown where there is a reason for it, such as another tab that has it open.
async fn look_at(hands: &Hands, session: Session, only_shown: Option<String>) {
    hands.conductor.close_all();
    let elsewhere = || {
        format!(
            "“{}” is open in another tab: here it is only shown. To work on it here, take it over",
            session.name
        )
    };
    let only_shown = match only_shown {
        None if !locks::take(&session.id).await => Some(elsewhere()),
        reason => reason,
    };
    let session = Rc::new(session);
    let screen = Screen::Step(Step::Clip);
    hands.dispatch.dispatch(match only_shown {
        Some(reason) => {
            hands.say(reason.clone());
            Action::Show(Rc::clone(&session), screen, reason)
        }
        None => Action::Open(Rc::clone(&session), screen),
    });
    open_kept(hands, &session.trials).await;
}

/// Time for the other tab to finish a save that is under way.
const OTHERS_SAVE_MS: i32 = 400;

/// This tab works on the session from now on; the tab that had it is told, and only shows it.
pub async fn take_over(hands: &Hands, id: &str) {
    if !locks::take_over(id).await {
        return hands.complain(
            "The other tab does not let go of it: close that tab, then open it again here.",
        );
    }
    pause(OTHERS_SAVE_MS).await;
    match storage::load(id).await {
        Ok(found) => look_at(hands, found.read.session, found.read.read_only).await,
        Err(reason) => hands.complain(reason.to_string()),
    }
}

#[derive(Properties, PartialEq)]
struct RecentWorkProps {
    present: AttrValue,
}

/// Sessions kept on this device, newest first.
#[component]
fn RecentWork(props: &RecentWorkProps) -> Html {
    let hands = use_hands();
    let kept = use_state_eq(|| None::<Vec<Kept>>);
    let room = use_state_eq(String::new);
    let read = {
        let (kept, room, hands) = (kept.clone(), room.clone(), hands.clone());
        Callback::from(move |()| {
            let (kept, room, hands) = (kept.clone(), room.clone(), hands.clone());
            spawn_local(async move {
                match storage::list().await {
                    Ok(list) => kept.set(Some(list)),
                    Err(reason) => hands.complain(reason.to_string()),
                }
                room.set(words_on_room().await);
            });
        })
    };
    {
        let read = read.clone();
        use_effect_with(props.present.clone(), move |_| read.emit(()));
    }
    let Some(list) = (*kept).clone() else {
        return html! { <p class="quiet">{ "Looking for recent work." }</p> };
    };
    let delete_all = {
        let (hands, read) = (hands.clone(), read.clone());
        Callback::from(move |_: MouseEvent| {
            if !confirmed(
                "Delete every session and every clip copy kept here? Files you saved elsewhere stay.",
            ) {
                return;
            }
            let (hands, read) = (hands.clone(), read.clone());
            spawn_local(async move {
                storage::bury(&hands.conductor.session().id);
                begin_anew(&hands);
                if let Err(reason) = storage::delete_everything().await {
                    hands.complain(reason.to_string());
                }
                read.emit(());
            });
        })
    };
    html! {
        <section class="recent" aria-labelledby="recent-work">
            <h2 id="recent-work">{ "Recent work" }</h2>
            if list.is_empty() {
                <p class="quiet">{ "Nothing yet. What you do here is saved on this device by itself." }</p>
            } else {
                <ul aria-labelledby="recent-work">{ for list.iter().map(|k| entry(&hands, k, &read)) }</ul>
                { for runners(&list).into_iter().map(|runner| delete_of(&hands, runner, &read)) }
                <p class="quiet">{ (*room).clone() }</p>
                <button class="small" onclick={delete_all}>{ "Delete everything kept here" }</button>
            }
        </section>
    }
}

/// The runners who have more than one session, each once.
fn runners(list: &[Kept]) -> BTreeSet<String> {
    let has_more = |k: &&Kept| {
        !k.runner.is_empty() && list.iter().filter(|other| other.runner == k.runner).count() > 1
    };
    list.iter().filter(has_more).map(|k| k.runner.clone()).collect()
}

/// Deletes all of one runner.
fn delete_of(hands: &Hands, runner: String, read: &Callback<()>) -> Html {
    let name = format!("Delete all of {runner}");
    let (hands, read) = (hands.clone(), read.clone());
    let delete = Callback::from(move |_: MouseEvent| {
        if !confirmed(&format!("Delete every session of “{runner}” from this device?")) {
            return;
        }
        let (hands, runner, read) = (hands.clone(), runner.clone(), read.clone());
        spawn_local(async move {
            let present = hands.conductor.session();
            if present.runner.label == runner {
                storage::bury(&present.id);
                begin_anew(&hands);
            }
            if let Err(reason) = storage::delete_runner(&runner).await {
                hands.complain(reason.to_string());
            }
            read.emit(());
        });
    });
    html! { <button class="small" onclick={delete}>{ name }</button> }
}

fn entry(hands: &Hands, kept: &Kept, read: &Callback<()>) -> Html {
    let title = match (kept.name.as_str(), kept.runner.as_str()) {
        ("", "") => "Without a name".to_owned(),
        ("", runner) => runner.to_owned(),
        (name, "") => name.to_owned(),
        (name, runner) => format!("{name}, {runner}"),
    };
    let when = js_sys::Date::new(&(kept.saved_s * 1000.0).into())
        .to_locale_string("default", &js_sys::Object::new());
    let clips =
        if kept.trials == 1 { "1 clip".to_owned() } else { format!("{} clips", kept.trials) };
    let open = {
        let (hands, id) = (hands.clone(), kept.id.clone());
        Callback::from(move |_: MouseEvent| {
            let (hands, id) = (hands.clone(), id.clone());
            spawn_local(async move {
                match storage::load(&id).await {
                    Ok(found) => {
                        if let Some(warning) = found.warning {
                            hands.complain(warning);
                        }
                        look_at(&hands, found.read.session, found.read.read_only).await;
                    }
                    Err(reason) => hands.complain(reason.to_string()),
                }
            });
        })
    };
    let delete = {
        let (hands, id, read, title) =
            (hands.clone(), kept.id.clone(), read.clone(), title.clone());
        Callback::from(move |_: MouseEvent| {
            if !confirmed(&format!("Delete “{title}” from this device?")) {
                return;
            }
            let (hands, id, read) = (hands.clone(), id.clone(), read.clone());
            spawn_local(async move {
                storage::bury(&id);
                if hands.conductor.session().id == id {
                    begin_anew(&hands);
                }
                if let Err(reason) = storage::delete(&id).await {
                    hands.complain(reason.to_string());
                }
                read.emit(());
            });
        })
    };
    html! {
        <li>
            <button class="line" onclick={open} aria-label={format!("Open {title}")}><b>{ title }</b><span class="quiet">{ format!("{clips}, {}", String::from(when)) }</span></button>
            <button class="small" onclick={delete}>{ "Delete" }</button>
        </li>
    }
}

fn confirmed(question: &str) -> bool {
    web_sys::window().and_then(|w| w.confirm_with_message(question).ok()).unwrap_or(false)
}

/// How much room the browser gives, and whether it may clear it by itself.
async fn words_on_room() -> String {
    let persisted = storage::is_persisted().await.sentence();
    match storage::room().await {
        Some(room) => format!(
            "{:.1} MB used of the {:.0} MB this browser offers. {persisted}",
            room.used_bytes / 1e6,
            room.offered_bytes / 1e6
        ),
        None => persisted.to_owned(),
    }
}

#[derive(Properties, PartialEq)]
pub struct SaveSessionProps {
    /// What is saved.
    pub session: Rc<Session>,
}

/// Saves the session as a file: the real backup, and the way to another device.
#[component]
pub fn SaveSession(props: &SaveSessionProps) -> Html {
    let hands = use_hands();
    let session = Rc::clone(&props.session);
    let save = Callback::from(move |_: MouseEvent| {
        if let Err(reason) = files::save_session(&session) {
            hands.complain(reason.to_string());
        }
    });
    html! { <button onclick={save}>{ "Save session file" }</button> }
}
