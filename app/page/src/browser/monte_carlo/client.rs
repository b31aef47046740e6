//! The page's end: sends the request and waits for the response.

use super::protocol::{MonteCarloError, MonteCarloRequest, MonteCarloResponse, Repetition};
use crate::browser::js_error::reason;
use crate::browser::loader;
use document::session::{Session, file};
use jobs::protocol::{ProtocolError, decode, encode};
use wasm_bindgen::prelude::*;
use web_sys::{ErrorEvent, MessageEvent, Worker, WorkerOptions, WorkerType};

/// A worker that repeats the measurement of one pair. Dropped, it ends.
pub struct MonteCarloClient {
    worker: Worker,
    _on_message: Closure<dyn Fn(MessageEvent)>,
    _on_error: Closure<dyn Fn(ErrorEvent)>,
}

impl MonteCarloClient {
    /// Starts a worker on the first two trials; calls back with the result.
    ///
    /// # Errors
    /// If the browser refuses to start the worker or to send it the request.
    pub fn start(
        session: &Session,
        on_result: impl Fn(Result<Repetition, MonteCarloError>) + Clone + 'static,
    ) -> Result<Self, MonteCarloError> {
        let url = loader::monte_carlo_url().ok_or(MonteCarloError::NotStarted)?;
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker =
            Worker::new_with_options(&url, &options).map_err(|_| MonteCarloError::NotStarted)?;
        let on_response = on_result.clone();
        let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            on_response(match decode(event.data().as_string().as_deref()) {
                Ok(MonteCarloResponse::Done(repetition)) => Ok(repetition),
                Ok(MonteCarloResponse::Failed(error)) => Err(error),
                Err(error) => Err(error.into()),
            });
        });
        let on_error = Closure::<dyn Fn(ErrorEvent)>::new(move |event: ErrorEvent| {
            event.prevent_default();
            on_result(Err(MonteCarloError::Stopped { message: event.message() }));
        });
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
        let client = Self { worker, _on_message: on_message, _on_error: on_error };
        let request = encode(&MonteCarloRequest { session: file::write(session) })?;
        let posted = client.worker.post_message(&request.into());
        posted.map_err(|e| ProtocolError::NotSent { reason: reason(&e) })?;
        Ok(client)
    }
}

impl Drop for MonteCarloClient {
    fn drop(&mut self) {
        self.worker.set_onmessage(None);
        self.worker.set_onerror(None);
        self.worker.terminate();
    }
}
