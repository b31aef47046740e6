//! The page's end of the way to the worker.

use super::frame_image::Sight;
use super::loader;
use jobs::Told;
use jobs::{Answer, JobId, Question};
use js_sys::{Object, Reflect};
use serde::Deserialize;
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use web_sys::{ErrorEvent, File, MessageEvent, Worker, WorkerOptions, WorkerType};

/// What comes from the worker.
pub enum WorkerEvent {
    /// An answer to a question, with its picture where it has one.
    Answered {
        /// Which question.
        id: JobId,
        /// The answer.
        answer: Answer,
        /// The picture.
        sight: Option<Rc<Sight>>,
    },
    /// It stopped and will not answer any more.
    Died(String),
}

#[derive(Deserialize)]
struct Envelope {
    id: JobId,
    answer: Answer,
    told: Option<Told>,
}

/// A running worker; dropped, it ends.
pub struct WorkerLink {
    worker: Worker,
    _on_message: Closure<dyn Fn(MessageEvent)>,
    _on_error: Closure<dyn Fn(ErrorEvent)>,
}

impl WorkerLink {
    /// Starts a worker.
    ///
    /// # Errors
    /// When the browser refuses.
    pub fn start(on_event: impl Fn(WorkerEvent) + 'static) -> Result<Self, String> {
        let refused = || {
            "The browser does not start the worker that decodes clips: load the page again."
                .to_owned()
        };
        let url = loader::worker_url().ok_or_else(refused)?;
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker = Worker::new_with_options(&url, &options).map_err(|_| refused())?;
        let ended = Rc::new(Cell::new(false));
        let told = Rc::new(move |event: WorkerEvent| {
            // A death is often told twice, by the worker itself and by the browser.
            let repeated = ended.get();
            ended.set(repeated || matches!(event, WorkerEvent::Died(_)));
            if !repeated {
                on_event(event);
            }
        });
        let (tell, lender) = (Rc::clone(&told), worker.clone());
        let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            if let Some(event) = read(&event.data(), &lender) {
                tell(event);
            }
        });
        let on_error = Closure::<dyn Fn(ErrorEvent)>::new(move |event: ErrorEvent| {
            event.prevent_default();
            told(WorkerEvent::Died(event.message()));
        });
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
        Ok(Self { worker, _on_message: on_message, _on_error: on_error })
    }

    /// Asks a question; a file travels beside it.
    pub fn ask(&self, question: &Question, file: Option<&File>) {
        let Ok(json) = serde_json::to_string(question) else { return };
        let message = Object::new();
        // Setting a property of a plain object is never refused.
        let _ = Reflect::set(&message, &"json".into(), &json.into());
        if let Some(file) = file {
            let _ = Reflect::set(&message, &"file".into(), file);
        }
        let _ = self.worker.post_message(&message);
    }
}

impl Drop for WorkerLink {
    fn drop(&mut self) {
        self.worker.set_onmessage(None);
        self.worker.set_onerror(None);
        self.worker.terminate();
    }
}

fn read(data: &JsValue, worker: &Worker) -> Option<WorkerEvent> {
    let text = |name: &str| Reflect::get(data, &name.into()).ok()?.as_string();
    if let Some(reason) = text("died") {
        return Some(WorkerEvent::Died(reason));
    }
    let Envelope { id, answer, told } = serde_json::from_str(&text("json")?).ok()?;
    let sight = Sight::of(data, told, worker).map(Rc::new);
    Some(WorkerEvent::Answered { id, answer, sight })
}
