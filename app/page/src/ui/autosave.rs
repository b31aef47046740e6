//! Keeps the present session on the device: soon after each change, and at once when the page goes out of sight.

use crate::browser::clock::{now_ms, pause};
use crate::browser::storage::{self, locks};
use document::session::{Autosave, SaveState, Session};
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

struct Keeper {
    plan: RefCell<Autosave>,
    session: RefCell<Rc<Session>>,
    told: Callback<SaveState>,
    asked_to_persist: RefCell<bool>,
    /// The session that was saved last.
    saved: RefCell<Option<String>>,
}

impl Keeper {
    fn now_s() -> f64 {
        now_ms() / 1000.0
    }

    /// Saves when a save is due; comes back by itself until nothing is due.
    fn run(self: &Rc<Self>) {
        self.told.emit(self.plan.borrow().state());
        let due_s = self.plan.borrow().due_in_s(Self::now_s());
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
            let ticket = this.plan.borrow_mut().begin(Self::now_s());
            let Some(ticket) = ticket else { return };
            this.told.emit(this.plan.borrow().state());
            let session = Rc::clone(&this.session.borrow());
            // Nothing is written for a session that was left before anything was in it.
            if !this.is_worth_keeping(&session) {
                this.plan.borrow_mut().done(ticket, Ok(()), Self::now_s());
                return this.run();
            }
            let outcome = storage::save(&session).await.map_err(|e| e.to_string());
            let saved = outcome.is_ok();
            if saved {
                this.saved.replace(Some(session.id.clone()));
            }
            this.plan.borrow_mut().done(ticket, outcome, Self::now_s());
            if saved && !this.asked_to_persist.replace(true) {
                // Whether the browser agrees is shown on the first page.
                let _ = storage::ask_to_persist().await;
            }
            this.run();
        });
    }
}

impl Keeper {
    /// Another state of the session, or another session, is present.
    fn present(self: &Rc<Self>, session: &Rc<Session>) {
        let before = self.session.replace(Rc::clone(session));
        let unchanged = Rc::ptr_eq(&before, session);
        if before.id != session.id {
            self.leave(before);
        }
        if !unchanged && self.is_worth_keeping(session) {
            self.plan.borrow_mut().changed(Self::now_s());
            self.run();
        }
    }

    /// Whether there is anything in a session, or was when it was saved, and no other tab has it.
    fn is_worth_keeping(&self, session: &Session) -> bool {
        if locks::is_elsewhere(&session.id) {
            return false;
        }
        let saved_before = self.saved.borrow().as_ref() == Some(&session.id);
        saved_before || !session.trials.is_empty() || !session.name.is_empty()
    }

    /// The last change of the session that is left may not be saved yet.
    fn leave(self: &Rc<Self>, before: Rc<Session>) {
        if self.plan.borrow().state() == SaveState::Saved || !self.is_worth_keeping(&before) {
            return;
        }
        let told = self.told.clone();
        spawn_local(async move {
            if let Err(reason) = storage::save(&before).await {
                told.emit(SaveState::NotSaved(reason.to_string()));
            }
        });
    }
}

/// A session that is compared by where it is in memory: each change makes a new one.
struct Place(Rc<Session>);

impl PartialEq for Place {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

/// Saves the session whenever it changes, unless it is only shown; answers how that stands.
#[hook]
pub fn use_autosave(session: &Rc<Session>, only_shown: bool) -> SaveState {
    let state = use_state_eq(|| SaveState::Saved);
    let keeper = {
        let (state, session) = (state.clone(), Rc::clone(session));
        use_memo((), move |()| {
            Rc::new(Keeper {
                plan: RefCell::new(Autosave::new()),
                session: RefCell::new(session),
                told: Callback::from(move |s| state.set(s)),
                asked_to_persist: RefCell::new(false),
                saved: RefCell::new(None),
            })
        })
    };
    {
        let (keeper, session) = (Rc::clone(&keeper), Rc::clone(session));
        use_effect_with(Place(session), move |present| {
            if !only_shown {
                keeper.present(&present.0);
            }
        });
    }
    use_effect_with((session.id.clone(), only_shown), |(id, only_shown)| {
        if *only_shown {
            return locks::let_go();
        }
        let id = id.clone();
        spawn_local(async move {
            // Whether another tab has it was asked before it was opened.
            let _ = locks::take(&id).await;
        });
    });
    use_hiding(&keeper);
    (*state).clone()
}

/// What is unsaved is saved at once when the page goes out of sight.
#[hook]
fn use_hiding(keeper: &Rc<Keeper>) {
    const EVENTS: [&str; 2] = ["pagehide", "visibilitychange"];
    let keeper = Rc::clone(keeper);
    use_effect_with((), move |()| {
        let hidden = Closure::<dyn Fn()>::new(move || {
            keeper.plan.borrow_mut().hiding(Keeper::now_s());
            keeper.run();
        });
        let window = web_sys::window();
        for (event, window) in EVENTS.iter().zip(window.iter().cycle()) {
            // Listening to a window's own event is never refused.
            let _ = window.add_event_listener_with_callback(event, hidden.as_ref().unchecked_ref());
        }
        move || {
            for (event, window) in EVENTS.iter().zip(window.iter().cycle()) {
                let _ = window
                    .remove_event_listener_with_callback(event, hidden.as_ref().unchecked_ref());
            }
        }
    });
}

/// How saving stands, in words.
#[must_use]
pub fn words(state: &SaveState) -> String {
    match state {
        SaveState::Saved => "Saved on this device".to_owned(),
        SaveState::Saving => "Saving".to_owned(),
        SaveState::NotSaved(reason) => format!("Not saved: {reason}"),
    }
}
