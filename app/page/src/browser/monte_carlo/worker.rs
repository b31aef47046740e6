//! The worker's end: repeats and answers.

use super::Repetition;
use document::results::ResultCache;
use document::session::file;
use wasm_bindgen::prelude::*;
use web_sys::{DedicatedWorkerGlobalScope, MessageEvent};

fn scope() -> Option<DedicatedWorkerGlobalScope> {
    js_sys::global().dyn_into().ok()
}

/// Whether this program runs in a worker, where no page is.
#[must_use]
pub fn in_worker() -> bool {
    scope().is_some()
}

/// Waits for the session, and tells what the repeats of its first two trials say.
pub fn listen() {
    let Some(scope) = scope() else { return };
    // A panic ends in a trap, which the page hears of as an error of this worker.
    let on_message = Closure::<dyn Fn(MessageEvent)>::new(|event: MessageEvent| {
        let found = event.data().as_string().and_then(|session| repeated(&session));
        let json = serde_json::to_string(&found).unwrap_or_default();
        if let Some(scope) = self::scope() {
            // A page that is gone needs no answer.
            let _ = scope.post_message(&json.into());
        }
    });
    // Added rather than set, as the shell hands over what came early in the same way.
    let _ = scope.add_event_listener_with_callback("message", on_message.as_ref().unchecked_ref());
    on_message.forget();
}

/// None where the session lacks something.
fn repeated(session: &str) -> Option<Repetition> {
    let session = file::read("the session", session).ok()?.session;
    let mut runs = ResultCache::new().pair(&session)?.monte_carlo();
    while runs.run_once() {}
    Some(Repetition { runs: runs.runs_done(), spread: runs.spread() })
}
