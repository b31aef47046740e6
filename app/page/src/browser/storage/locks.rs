//! Locks: only one tab works on a session, since two would overwrite each other's work.

use js_sys::{Function, Promise, Reflect};
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{LockManager, LockOptions};

/// The lock of this tab.
struct Held {
    /// The session.
    id: String,
    /// Releases the lock.
    release: Function,
}

/// Called with a session that another tab has taken over.
type Lost = Rc<dyn Fn(&str)>;

thread_local! {
    static HELD: RefCell<Option<Held>> = const { RefCell::new(None) };
    static ELSEWHERE: RefCell<BTreeSet<String>> = const { RefCell::new(BTreeSet::new()) };
    static LOST: RefCell<Option<Lost>> = const { RefCell::new(None) };
}

/// How to acquire a lock.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Acquiring {
    /// Only if no other tab has it.
    IfFree,
    /// From any other tab.
    TakingOver,
}

/// Calls back when another tab takes over the session of this tab.
pub fn on_lost(callback: impl Fn(&str) + 'static) {
    LOST.set(Some(Rc::new(callback)));
}

/// Whether another tab has this session, as far as this tab knows.
#[must_use]
pub fn is_elsewhere(id: &str) -> bool {
    ELSEWHERE.with_borrow(|all| all.contains(id))
}

/// Locks a session and releases the one before; false if another tab has it.
///
/// Without locks in the browser it is true. A tab that is closed or killed releases its lock.
pub async fn take(id: &str) -> bool {
    acquire(id, Acquiring::IfFree).await
}

/// Locks a session that another tab may have. That tab is notified, and its session becomes read-only.
pub async fn take_over(id: &str) -> bool {
    acquire(id, Acquiring::TakingOver).await
}

async fn acquire(id: &str, acquiring: Acquiring) -> bool {
    if HELD.with_borrow(|held| held.as_ref().is_some_and(|h| h.id == id)) {
        return true;
    }
    release();
    let Some(manager) = manager() else {
        return true;
    };
    match JsFuture::from(request(&manager, id, acquiring)).await {
        Ok(answer) => match answer.dyn_into::<Function>() {
            Ok(release) => {
                ELSEWHERE.with_borrow_mut(|all| all.remove(id));
                // Two requests may have crossed: the later one stays.
                drop_held(HELD.replace(Some(Held { id: id.to_owned(), release })));
                true
            }
            Err(_) => {
                ELSEWHERE.with_borrow_mut(|all| all.insert(id.to_owned()));
                false
            }
        },
        // A browser that cannot answer must not stop the work.
        Err(_) => true,
    }
}

/// Releases the session of this tab.
pub fn release() {
    drop_held(HELD.take());
}

fn drop_held(held: Option<Held>) {
    if let Some(held) = held {
        // The function only resolves our own promise.
        let _ = held.release.call0(&JsValue::NULL);
    }
}

/// Requests the lock. The promise resolves to the function that releases it, or to null if it is taken.
fn request(manager: &LockManager, id: &str, acquiring: Acquiring) -> Promise {
    let name = format!("stride-ledger session {id}");
    let options = LockOptions::new();
    options.set_if_available(acquiring == Acquiring::IfFree);
    options.set_steal(acquiring == Acquiring::TakingOver);
    Promise::new(&mut |answer, refuse| {
        let granted = Closure::once_into_js(move |lock: JsValue| -> Promise {
            if lock.is_null() {
                // Nobody uses what this returns.
                let _ = answer.call1(&JsValue::NULL, &JsValue::NULL);
                return Promise::resolve(&JsValue::NULL);
            }
            Promise::new(&mut |release, _| {
                let _ = answer.call1(&JsValue::NULL, &release);
            })
        });
        let ended = manager.request_with_options(&name, &options, granted.unchecked_ref());
        let id = id.to_owned();
        spawn_local(async move {
            if let Err(reason) = JsFuture::from(ended).await {
                // Without effect if the promise is resolved already: then another tab has taken over since.
                let _ = refuse.call1(&JsValue::NULL, &reason);
                lost(&id);
            }
        });
    })
}

/// Notes that another tab has taken this session over.
fn lost(id: &str) {
    let was_held = HELD.with_borrow_mut(|held| held.take_if(|h| h.id == id).is_some());
    if was_held {
        ELSEWHERE.with_borrow_mut(|all| all.insert(id.to_owned()));
        if let Some(callback) = LOST.with_borrow(Clone::clone) {
            callback(id);
        }
    }
}

fn manager() -> Option<LockManager> {
    let navigator = Reflect::get(&js_sys::global(), &"navigator".into()).ok()?;
    Reflect::get(&navigator, &"locks".into()).ok()?.dyn_into().ok()
}
