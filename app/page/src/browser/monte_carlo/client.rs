//! The page's end: asks once, and hears what was found.

use super::Repetition;
use crate::browser::loader;
use document::session::{Session, file};
use wasm_bindgen::prelude::*;
use web_sys::{ErrorEvent, MessageEvent, Worker, WorkerOptions, WorkerType};

/// A worker that repeats the measurement of one pair; dropped, it ends.
pub struct RepeatsLink {
    worker: Worker,
    _on_message: Closure<dyn Fn(MessageEvent)>,
    _on_error: Closure<dyn Fn(ErrorEvent)>,
}

impl RepeatsLink {
    /// Starts a worker on the first two trials; it tells what it found, or none if it stopped before that.
    ///
    /// None where the browser refuses.
    #[must_use]
    pub fn start(
        session: &Session,
        told: impl Fn(Option<Repetition>) + Clone + 'static,
    ) -> Option<Self> {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker = Worker::new_with_options(&loader::repeats_url()?, &options).ok()?;
        let tell = told.clone();
        let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            tell(event.data().as_string().and_then(|json| serde_json::from_str(&json).ok()));
        });
        let on_error = Closure::<dyn Fn(ErrorEvent)>::new(move |event: ErrorEvent| {
            event.prevent_default();
            told(None);
        });
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
        worker.post_message(&file::write(session).into()).ok()?;
        Some(Self { worker, _on_message: on_message, _on_error: on_error })
    }
}

impl Drop for RepeatsLink {
    fn drop(&mut self) {
        self.worker.set_onmessage(None);
        self.worker.set_onerror(None);
        self.worker.terminate();
    }
}
