//! One session, one tab: two tabs that both save one session would undo each other's work.

use js_sys::{Function, Promise, Reflect};
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{LockManager, LockOptions};

/// The session this tab has in hand, and what lets go of it.
struct Held {
    id: String,
    let_go: Function,
}

/// Told of a session that another tab has taken over.
type Lost = Rc<dyn Fn(&str)>;

thread_local! {
    static HELD: RefCell<Option<Held>> = const { RefCell::new(None) };
    static ELSEWHERE: RefCell<BTreeSet<String>> = const { RefCell::new(BTreeSet::new()) };
    static LOST: RefCell<Option<Lost>> = const { RefCell::new(None) };
}

/// How a session is asked for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Asking {
    /// Only if no other tab has it.
    Politely,
    /// Whoever has it.
    TakingOver,
}

/// Has the callback run when another tab takes over the session in hand.
pub fn on_lost(callback: impl Fn(&str) + 'static) {
    LOST.set(Some(Rc::new(callback)));
}

/// Whether another tab has this session, as far as this one was told.
#[must_use]
pub fn is_elsewhere(id: &str) -> bool {
    ELSEWHERE.with_borrow(|all| all.contains(id))
}

/// Takes a session in hand and lets go of the one before: false where another tab has it.
///
/// Where the browser has no locks, it is true. A tab that is closed or killed lets go by itself.
pub async fn take(id: &str) -> bool {
    ask(id, Asking::Politely).await
}

/// Takes a session in hand that another tab may have; that tab is told, and only shows it from then on.
pub async fn take_over(id: &str) -> bool {
    ask(id, Asking::TakingOver).await
}

async fn ask(id: &str, asking: Asking) -> bool {
    if HELD.with_borrow(|held| held.as_ref().is_some_and(|h| h.id == id)) {
        return true;
    }
    let_go();
    let Some(manager) = manager() else {
        return true;
    };
    match JsFuture::from(request(&manager, id, asking)).await {
        Ok(answer) => match answer.dyn_into::<Function>() {
            Ok(let_go) => {
                ELSEWHERE.with_borrow_mut(|all| all.remove(id));
                // Two requests may have crossed: the later one stays.
                drop_held(HELD.replace(Some(Held { id: id.to_owned(), let_go })));
                true
            }
            Err(_) => {
                ELSEWHERE.with_borrow_mut(|all| all.insert(id.to_owned()));
                false
            }
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
fn request(manager: &LockManager, id: &str, asking: Asking) -> Promise {
    let name = format!("stride-ledger session {id}");
    let options = LockOptions::new();
    options.set_if_available(asking == Asking::Politely);
    options.set_steal(asking == Asking::TakingOver);
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
        let id = id.to_owned();
        spawn_local(async move {
            if let Err(reason) = JsFuture::from(ended).await {
                // Of no effect where the answer was given already: then it was taken over since.
                let _ = refuse.call1(&JsValue::NULL, &reason);
                lost(&id);
            }
        });
    })
}

/// Another tab has taken this session over.
fn lost(id: &str) {
    let was_held = HELD.with_borrow_mut(|held| held.take_if(|h| h.id == id).is_some());
    if was_held {
        ELSEWHERE.with_borrow_mut(|all| all.insert(id.to_owned()));
        if let Some(tell) = LOST.with_borrow(Clone::clone) {
            tell(id);
        }
    }
}

fn manager() -> Option<LockManager> {
    let navigator = Reflect::get(&js_sys::global(), &"navigator".into()).ok()?;
    Reflect::get(&navigator, &"locks".into()).ok()?.dyn_into().ok()
}
