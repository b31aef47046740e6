//! The root component: the store, the conductor, and the current screen.

mod input;
mod screen;

pub(super) use screen::screen;

use super::actions::Actions;
use super::autosave::{SaveState, use_autosave};
use super::components::{Header, Notices, Update};
use super::conductor::Conductor;
use super::home::TakeOver;
use super::sentences;
use super::store::{Action, Screen, Store};
use crate::browser::storage::locks;
use crate::browser::{panic, random_name};
use document::results::ResultCache;
use document::session::Session;
use input::{dropped_files, prevent_default, undo_keys};
use std::rc::Rc;
use yew::prelude::*;

/// The page.
#[component]
pub fn App() -> Html {
    let store = use_reducer(|| Store::new(Session::empty(random_name())));
    let conductor = {
        let (dispatch, session) = (store.dispatcher(), Rc::clone(store.session()));
        use_memo((), move |()| Conductor::new(dispatch, session))
    };
    conductor.now_at(Rc::clone(store.session()));
    use_rescue(&conductor, &store);
    let actions = Actions { dispatch: store.dispatcher(), conductor: Conductor::clone(&conductor) };
    let is_read_only = store.view.read_only.is_some();
    let save_state = use_autosave(store.session(), is_read_only);
    let is_saved = matches!(save_state, SaveState::Saved);
    let saved = if is_read_only {
        sentences::session::READ_ONLY.to_owned()
    } else {
        sentences::document::save_state(&save_state)
    };
    let results = use_mut_ref(ResultCache::new);
    use_scroll_to_top(store.view.screen);
    let ondrop = dropped_files(&actions);
    let onkeydown = undo_keys(&actions);
    html! {
        <ContextProvider<Actions> context={actions}>
            <div class="page" ondragover={prevent_default()} {ondrop} {onkeydown}>
                <Header session={Rc::clone(store.session())} screen={store.view.screen} trial={store.view.trial}
                    can_undo={store.history.can_undo()} can_redo={store.history.can_redo()} {saved} />
                <Update {is_saved} />
                if is_read_only && locks::is_elsewhere(&store.session().id) {
                    <TakeOver id={store.session().id.clone()} />
                }
                <Notices notices={store.view.notices.clone()} />
                { screen(&store, &results) }
            </div>
        </ContextProvider<Actions>>
    }
}

/// Scrolls to the top when another screen opens.
#[hook]
fn use_scroll_to_top(screen: Screen) {
    use_effect_with(screen, |_| {
        if let Some(window) = web_sys::window() {
            window.scroll_to_with_x_and_y(0.0, 0.0);
        }
    });
}

/// Protects the session from a crash of the program and from other tabs: once another tab has taken it over, it is read-only
/// here.
#[hook]
fn use_rescue(conductor: &Conductor, store: &UseReducerHandle<Store>) {
    panic::remember(store.session());
    let (conductor, dispatch) = (conductor.clone(), store.dispatcher());
    use_effect_with((), move |()| {
        locks::on_lost(move |id| {
            if conductor.session().id == id {
                let reason = sentences::session::TAKEN_OVER.to_owned();
                dispatch.dispatch(Action::MakeReadOnly(reason));
            }
        });
    });
}
