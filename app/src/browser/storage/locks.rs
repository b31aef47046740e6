//! One session, one tab: two tabs that both save one session would undo each other's work.

use js_sys::{Function, Promise, Reflect};
use std::cell::RefCell;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{LockManager, LockOptions};

/// The session this tab has in hand, and what lets go of it.
struct Held {
    id: String,
    let_go: Function,
}

thread_local! {
    static HELD: RefCell<Option<Held>> = const { RefCell::new(None) };
}

/// Takes a session in hand and lets go of the one before: false where another tab has it.
///
/// Where the browser has no locks, it is true. A tab that is closed or killed lets go by itself.
pub async fn take(id: &str) -> bool {
    if HELD.with_borrow(|held| held.as_ref().is_some_and(|h| h.id == id)) {
        return true;
    }
    let_go();
    let Some(manager) = manager() else {
        return true;
    };
    match JsFuture::from(request(&manager, id)).await {
        Ok(answer) => match answer.dyn_into::<Function>() {
            Ok(let_go) => {
                // Two requests may have crossed: the later one stays.
                drop_held(HELD.replace(Some(Held { id: id.to_owned(), let_go })));
                true
            }
            Err(_) => false,
        },
        // A browser that cannot say keeps nobody from working.
        Err(_) => true,
    }
}

/// Lets go of the session in hand.
pub fn let_go() {
    drop_held(HELD.take());
}

fn drop_held(held: Option<Held>) {
    if let Some(held) = held {
        // The function only settles a promise of our own.
        let _ = held.let_go.call0(&JsValue::NULL);
    }
}

/// Asks for the lock; the promise gives the function that lets go of it, or null if it is taken.
fn request(manager: &LockManager, id: &str) -> Promise {
    let name = format!("stride-ledger session {id}");
    let options = LockOptions::new();
    options.set_if_available(true);
    Promise::new(&mut |answer, refuse| {
        let granted = Closure::once_into_js(move |lock: JsValue| -> Promise {
            if lock.is_null() {
                // Nobody waits for what this returns.
                let _ = answer.call1(&JsValue::NULL, &JsValue::NULL);
                return Promise::resolve(&JsValue::NULL);
            }
            Promise::new(&mut |let_go, _| {
                let _ = answer.call1(&JsValue::NULL, &let_go);
            })
        });
        let ended = manager.request_with_options(&name, &options, granted.unchecked_ref());
        spawn_local(async move {
            if let Err(reason) = JsFuture::from(ended).await {
                // Of no effect where the answer was given already.
                let _ = refuse.call1(&JsValue::NULL, &reason);
            }
        });
    })
}

fn manager() -> Option<LockManager> {
    let navigator = Reflect::get(&js_sys::global(), &"navigator".into()).ok()?;
    Reflect::get(&navigator, &"locks".into()).ok()?.dyn_into().ok()
}
