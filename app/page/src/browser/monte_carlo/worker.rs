//! The worker's end: reads the request, does the runs and answers.

use super::protocol::{MonteCarloError, MonteCarloRequest, MonteCarloResponse, Repetition};
use document::results::ResultCache;
use document::session::file;
use jobs::protocol::{decode, encode};
use wasm_bindgen::prelude::*;
use web_sys::{DedicatedWorkerGlobalScope, MessageEvent};

fn scope() -> Option<DedicatedWorkerGlobalScope> {
    js_sys::global().dyn_into().ok()
}

/// Whether this program runs in a worker, without a page.
#[must_use]
pub fn in_worker() -> bool {
    scope().is_some()
}

/// Waits for a request and answers it.
pub fn listen() {
    let Some(scope) = scope() else { return };
    // A panic ends in a trap, which the page receives as an error of this worker.
    let on_message = Closure::<dyn Fn(MessageEvent)>::new(|event: MessageEvent| {
        let response = match answer(event.data().as_string().as_deref()) {
            Ok(repetition) => MonteCarloResponse::Done(repetition),
            Err(error) => MonteCarloResponse::Failed(error),
        };
        // A result that cannot be written is an error that can.
        let text = encode(&response)
            .or_else(|error| encode(&MonteCarloResponse::Failed(error.into())))
            .unwrap_or_default();
        if let Some(scope) = self::scope() {
            // A page that is gone needs no answer.
            let _ = scope.post_message(&text.into());
        }
    });
    // Added, not set: the shell hands over early messages in the same way.
    let _ = scope.add_event_listener_with_callback("message", on_message.as_ref().unchecked_ref());
    on_message.forget();
}

fn answer(request: Option<&str>) -> Result<Repetition, MonteCarloError> {
    let MonteCarloRequest { session } = decode(request)?;
    let session = file::read("the session", &session)
        .map_err(|e| MonteCarloError::Session { reason: e.to_string() })?
        .session;
    let pair = ResultCache::new().pair(&session).ok_or(MonteCarloError::Incomplete)?;
    let mut runs = pair.monte_carlo();
    while runs.run_once() {}
    Ok(Repetition { runs: runs.runs_done(), spread: runs.spread() })
}
