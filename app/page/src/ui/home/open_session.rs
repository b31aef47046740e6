//! Puts another session in place of the current one: a new one, a file, one from this device, or one from another tab.

use super::open_clips::open_copies;
use crate::browser::clock::pause;
use crate::browser::storage::{self, locks};
use crate::browser::{files, random_name};
use crate::ui::actions::Actions;
use crate::ui::sentences;
use crate::ui::store::{Action, Screen, Step};
use document::session::Session;
use document::session::file::Read;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use web_sys::File;

/// Chosen: enough for the other tab to finish a save that is under way.
const OTHER_TAB_SAVES_MS: i32 = 400;

/// Opens an empty session; the current one stays saved.
pub fn open_empty(actions: &Actions) {
    actions.conductor.close_all();
    let session = Rc::new(Session::empty(random_name()));
    actions.dispatch.dispatch(Action::Open(session, Screen::Home));
    actions.conductor.now_at(Rc::new(Session::empty(String::new())));
}

/// Opens a session file.
pub fn open_session_file(actions: &Actions, file: File) {
    let actions = actions.clone();
    spawn_local(async move {
        match files::open_session(&file).await {
            Ok(read) => match storage::beside_what_is_kept(read.session.clone()).await {
                Ok(session) => open(&actions, session, newer_version(&read)).await,
                // It can be opened all the same; autosave reports that it cannot be saved.
                Err(_) => open(&actions, read.session.clone(), newer_version(&read)).await,
            },
            Err(error) => actions.report(sentences::document::sentence(&error)),
        }
    });
}

/// Opens a session from this device.
pub async fn open_saved(actions: &Actions, id: &str) {
    match storage::load(id).await {
        Ok(found) => {
            if let Some(older) = &found.older {
                actions.report(sentences::document::older_revision(older));
            }
            open(actions, found.read.session.clone(), newer_version(&found.read)).await;
        }
        Err(error) => actions.report(sentences::document::storage(&error)),
    }
}

/// Opens a session that another tab has; there it becomes read-only.
pub async fn take_over(actions: &Actions, id: &str) {
    if !locks::take_over(id).await {
        return actions.report(sentences::session::NOT_RELEASED);
    }
    pause(OTHER_TAB_SAVES_MS).await;
    match storage::load(id).await {
        Ok(found) => open(actions, found.read.session.clone(), newer_version(&found.read)).await,
        Err(error) => actions.report(sentences::document::storage(&error)),
    }
}

/// Why a session that was read is read-only; none if it may be changed.
fn newer_version(read: &Read) -> Option<String> {
    read.read_only.as_ref().map(sentences::document::newer_version)
}

/// Puts a session in place of the current one and opens the clips that have a copy on this device. It is read-only for
/// the given reason, or if another tab has it open.
async fn open(actions: &Actions, session: Session, read_only: Option<String>) {
    actions.conductor.close_all();
    let read_only = match read_only {
        None if !locks::take(&session.id).await => {
            Some(sentences::session::open_elsewhere(&session.name))
        }
        reason => reason,
    };
    let session = Rc::new(session);
    let screen = Screen::Step(Step::Clip);
    actions.dispatch.dispatch(match read_only {
        Some(reason) => {
            actions.notify(reason.clone());
            Action::OpenReadOnly(Rc::clone(&session), screen, reason)
        }
        None => Action::Open(Rc::clone(&session), screen),
    });
    open_copies(actions, &session.trials).await;
}
