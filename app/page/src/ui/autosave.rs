//! Saves the session on the device: soon after each change, and at once when the page is hidden.

use crate::browser::clock::{now_ms, pause};
use crate::browser::storage::{self, StorageError, locks};
use document::session::persistence::SaveFailure;
use document::session::{Autosave, Session};
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

/// The state of saving on this device.
pub type SaveState = document::session::SaveState<StorageError>;

struct Saver {
    schedule: RefCell<Autosave<StorageError>>,
    session: RefCell<Rc<Session>>,
    on_state: Callback<SaveState>,
    has_asked_to_persist: RefCell<bool>,
    /// The session that was saved last.
    last_saved: RefCell<Option<String>>,
}

impl Saver {
    fn now_s() -> f64 {
        now_ms() / 1000.0
    }

    /// Saves when a save is due, and again until none is due.
    fn run(self: &Rc<Self>) {
        self.on_state.emit(self.schedule.borrow().state());
        let due_s = self.schedule.borrow().due_in_s(Self::now_s());
        let Some(due_s) = due_s else { return };
        let this = Rc::clone(self);
        spawn_local(async move {
            if due_s > 0.0 {
                #[allow(
                    clippy::cast_possible_truncation,
                    reason = "at most ten seconds in milliseconds"
                )]
                pause((due_s * 1000.0).ceil() as i32).await;
            }
            this.save_now().await;
        });
    }

    /// Saves the session if the schedule still wants it.
    async fn save_now(self: &Rc<Self>) {
        let ticket = self.schedule.borrow_mut().begin(Self::now_s());
        let Some(ticket) = ticket else { return };
        self.on_state.emit(self.schedule.borrow().state());
        let session = Rc::clone(&self.session.borrow());
        // A session that was left while it was empty is not written.
        if !self.is_worth_saving(&session) {
            self.schedule.borrow_mut().done(ticket, Ok(()), Self::now_s());
            return self.run();
        }
        let result = storage::save(&session).await;
        let is_saved = result.is_ok();
        if is_saved {
            self.last_saved.replace(Some(session.id.clone()));
        }
        self.schedule.borrow_mut().done(ticket, result, Self::now_s());
        if is_saved && !self.has_asked_to_persist.replace(true) {
            // The first page shows whether the browser agrees.
            let _ = storage::ask_to_persist().await;
        }
        self.run();
    }

    /// Takes the session as it is now, or another session.
    fn update(self: &Rc<Self>, session: &Rc<Session>) {
        let before = self.session.replace(Rc::clone(session));
        let is_unchanged = Rc::ptr_eq(&before, session);
        if before.id != session.id {
            self.save_last_change(before);
        }
        if !is_unchanged && self.is_worth_saving(session) {
            self.schedule.borrow_mut().changed(Self::now_s());
            self.run();
        }
    }

    /// Whether the session has content, or had when it was saved, and no other tab has it open.
    fn is_worth_saving(&self, session: &Session) -> bool {
        if locks::is_elsewhere(&session.id) {
            return false;
        }
        let was_saved = self.last_saved.borrow().as_ref() == Some(&session.id);
        was_saved || !session.trials.is_empty() || !session.name.is_empty()
    }

    /// Saves the last change of a session that was just replaced by another.
    fn save_last_change(self: &Rc<Self>, before: Rc<Session>) {
        if self.schedule.borrow().state() == SaveState::Saved || !self.is_worth_saving(&before) {
            return;
        }
        let on_state = self.on_state.clone();
        spawn_local(async move {
            if let Err(error) = storage::save(&before).await {
                on_state.emit(SaveState::NotSaved(SaveFailure::Refused(error)));
            }
        });
    }
}

/// A session that compares by its address: each change makes a new one.
struct ByAddress(Rc<Session>);

impl PartialEq for ByAddress {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

/// Saves the session after every change unless it is read-only; answers the state of saving.
#[hook]
pub fn use_autosave(session: &Rc<Session>, is_read_only: bool) -> SaveState {
    let state = use_state_eq(|| SaveState::Saved);
    let saver = {
        let (state, session) = (state.clone(), Rc::clone(session));
        use_memo((), move |()| {
            Rc::new(Saver {
                schedule: RefCell::new(Autosave::new()),
                session: RefCell::new(session),
                on_state: Callback::from(move |s| state.set(s)),
                has_asked_to_persist: RefCell::new(false),
                last_saved: RefCell::new(None),
            })
        })
    };
    {
        let (saver, session) = (Rc::clone(&saver), Rc::clone(session));
        use_effect_with(ByAddress(session), move |session| {
            if !is_read_only {
                saver.update(&session.0);
            }
        });
    }
    use_effect_with((session.id.clone(), is_read_only), |(id, is_read_only)| {
        if *is_read_only {
            return locks::let_go();
        }
        let id = id.clone();
        spawn_local(async move {
            // Whether another tab has it was asked before it was opened.
            let _ = locks::take(&id).await;
        });
    });
    use_save_when_hidden(&saver);
    (*state).clone()
}

/// Saves at once when the page is hidden.
#[hook]
fn use_save_when_hidden(saver: &Rc<Saver>) {
    const EVENTS: [&str; 2] = ["pagehide", "visibilitychange"];
    let saver = Rc::clone(saver);
    use_effect_with((), move |()| {
        let on_hidden = Closure::<dyn Fn()>::new(move || {
            saver.schedule.borrow_mut().hiding(Saver::now_s());
            saver.run();
        });
        let window = web_sys::window();
        for (event, window) in EVENTS.iter().zip(window.iter().cycle()) {
            // A window never refuses a listener for its own event.
            let _ =
                window.add_event_listener_with_callback(event, on_hidden.as_ref().unchecked_ref());
        }
        move || {
            for (event, window) in EVENTS.iter().zip(window.iter().cycle()) {
                let _ = window
                    .remove_event_listener_with_callback(event, on_hidden.as_ref().unchecked_ref());
            }
        }
    });
}
