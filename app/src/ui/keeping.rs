//! Keeps the present session on the device: soon after each change, and at once when the page goes out of sight.

use crate::browser::clock::{now_ms, pause};
use crate::browser::storage;
use crate::session::{Autosave, SaveState, Session};
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
            let outcome = storage::save(&session).await.map_err(|e| e.to_string());
            let saved = outcome.is_ok();
            this.plan.borrow_mut().done(ticket, outcome, Self::now_s());
            if saved && !this.asked_to_persist.replace(true) {
                // Whether the browser agrees is shown on the first page.
                let _ = storage::ask_to_persist().await;
            }
            this.run();
        });
    }
}

/// Whether there is anything in a session worth keeping.
fn is_worth_keeping(session: &Session) -> bool {
    !session.trials.is_empty() || !session.name.is_empty()
}

/// Saves the session whenever it changes; answers how that stands.
#[hook]
pub fn use_autosave(session: &Rc<Session>) -> SaveState {
    let state = use_state_eq(|| SaveState::Saved);
    let keeper = {
        let (state, session) = (state.clone(), Rc::clone(session));
        use_memo((), move |()| {
            Rc::new(Keeper {
                plan: RefCell::new(Autosave::new()),
                session: RefCell::new(session),
                told: Callback::from(move |s| state.set(s)),
                asked_to_persist: RefCell::new(false),
            })
        })
    };
    {
        let (keeper, session) = (Rc::clone(&keeper), Rc::clone(session));
        use_effect_with(Rc::as_ptr(&session) as usize, move |_| {
            let other = keeper.session.borrow().id != session.id;
            let same = Rc::ptr_eq(&keeper.session.borrow(), &session);
            *keeper.session.borrow_mut() = Rc::clone(&session);
            if !same && !other && is_worth_keeping(&session) || other && is_worth_keeping(&session)
            {
                keeper.plan.borrow_mut().changed(Keeper::now_s());
                keeper.run();
            }
        });
    }
    {
        let keeper = Rc::clone(&keeper);
        use_effect_with((), move |()| {
            let hidden = Closure::<dyn Fn()>::new(move || {
                keeper.plan.borrow_mut().hiding(Keeper::now_s());
                keeper.run();
            });
            let window = web_sys::window();
            for event in ["pagehide", "visibilitychange"] {
                if let Some(window) = &window {
                    // Listening to a window's own event is never refused.
                    let _ = window
                        .add_event_listener_with_callback(event, hidden.as_ref().unchecked_ref());
                }
            }
            move || {
                for event in ["pagehide", "visibilitychange"] {
                    if let Some(window) = &window {
                        let _ = window.remove_event_listener_with_callback(
                            event,
                            hidden.as_ref().unchecked_ref(),
                        );
                    }
                }
            }
        });
    }
    (*state).clone()
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
