//! The page's end of the connection to the worker.

use super::BrowserError;
use super::frame_image::FrameImage;
use super::loader;
use super::message::{post, read};
use jobs::protocol::{Envelope, JobId, ProtocolError, Request, Response};
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use web_sys::{ErrorEvent, File, MessageEvent, Worker, WorkerOptions, WorkerType};

/// Events from the worker.
pub enum WorkerEvent {
    /// A response, with its frame image if it has one.
    Response {
        /// The request that it answers.
        id: JobId,
        /// The response.
        body: Response,
        /// The frame image.
        image: Option<Rc<FrameImage>>,
    },
    /// A message could not be read.
    Unreadable(ProtocolError),
    /// The worker stopped and answers no more.
    Stopped(String),
}

impl WorkerEvent {
    fn of(message: &JsValue, worker: &Worker) -> Result<Self, ProtocolError> {
        let (Envelope { id, body, attachment, .. }, object) = read(message)?;
        let image = attachment.map(|a| FrameImage::new(a, object, worker)).transpose()?;
        match body {
            Response::Panicked { message } => Ok(Self::Stopped(message)),
            Response::Frame { .. } if image.is_none() => Err(ProtocolError::NoAttachment),
            body => Ok(Self::Response { id, body, image: image.map(Rc::new) }),
        }
    }
}

/// A worker that runs. Dropped, it ends.
pub struct WorkerClient {
    worker: Worker,
    _on_message: Closure<dyn Fn(MessageEvent)>,
    _on_error: Closure<dyn Fn(ErrorEvent)>,
}

impl WorkerClient {
    /// Starts a worker.
    ///
    /// # Errors
    /// `WorkerNotStarted` if the browser refuses.
    pub fn start(on_event: impl Fn(WorkerEvent) + 'static) -> Result<Self, BrowserError> {
        let url = loader::worker_url().ok_or(BrowserError::WorkerNotStarted)?;
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker =
            Worker::new_with_options(&url, &options).map_err(|_| BrowserError::WorkerNotStarted)?;
        let has_stopped = Cell::new(false);
        let report = Rc::new(move |event: WorkerEvent| {
            // The worker and the browser often both report that it stopped.
            let is_repeated = has_stopped.get();
            has_stopped.set(is_repeated || matches!(event, WorkerEvent::Stopped(_)));
            if !is_repeated {
                on_event(event);
            }
        });
        let (report_message, sender) = (Rc::clone(&report), worker.clone());
        let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            let event = WorkerEvent::of(&event.data(), &sender);
            report_message(event.unwrap_or_else(WorkerEvent::Unreadable));
        });
        let on_error = Closure::<dyn Fn(ErrorEvent)>::new(move |event: ErrorEvent| {
            event.prevent_default();
            report(WorkerEvent::Stopped(event.message()));
        });
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
        Ok(Self { worker, _on_message: on_message, _on_error: on_error })
    }

    /// Sends a request, with the file that its envelope announces.
    ///
    /// # Errors
    /// `NotSent` if the message cannot be written or the browser refuses it.
    pub fn send(
        &self,
        request: &Envelope<Request>,
        file: Option<&File>,
    ) -> Result<(), ProtocolError> {
        post(&self.worker, request, file.map(AsRef::as_ref))
    }
}

impl Drop for WorkerClient {
    fn drop(&mut self) {
        self.worker.set_onmessage(None);
        self.worker.set_onerror(None);
        self.worker.terminate();
    }
}
