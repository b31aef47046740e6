//! Receives requests, runs them and sends the responses.

use crate::buffer_pool::FrameImage;
use crate::clip::Clip;
use crate::clip_job::{Job, RunningJobs};
use crate::open_clips::OpenClips;
use crate::outbox::{Address, Outbox, attached, post, read};
use crate::preview_job::preview;
use crate::tracking_job::track;
use document::session::TrialId;
use jobs::TrackingPlan;
use jobs::protocol::{Envelope, JobError, JobId, Request, Response};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;
use web_sys::{DedicatedWorkerGlobalScope, File, MessageEvent};

/// A frame that the page wants to display.
#[derive(Clone, Copy)]
struct WantedFrame {
    id: JobId,
    clip: TrialId,
    frame: u32,
}

/// The state of the worker.
struct Dispatcher {
    outbox: Rc<Outbox>,
    clips: RefCell<OpenClips>,
    running: Rc<RunningJobs>,
    /// The `ShowFrame` that is next.
    wanted: Cell<Option<WantedFrame>>,
    /// Whether a `ShowFrame` is under way.
    is_showing: Cell<bool>,
}

/// Which job a tracking plan is for.
#[derive(Clone, Copy)]
enum Purpose {
    Track,
    Preview,
}

/// How a frame is decoded.
#[derive(Clone, Copy)]
enum Decoding {
    /// By the clip's frame server.
    Served,
    /// By a decoder of its own.
    Beside,
}

/// Listens for requests as long as the worker lives.
pub fn start() {
    let Ok(scope) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else { return };
    std::panic::set_hook(Box::new(report_panic));
    let dispatcher = Rc::new(Dispatcher {
        outbox: Rc::new(Outbox::new(scope.clone())),
        clips: RefCell::default(),
        running: Rc::default(),
        wanted: Cell::new(None),
        is_showing: Cell::new(false),
    });
    let receiver = Rc::clone(&dispatcher);
    let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
        receiver.receive(&event.data())
    });
    // Added, not set: the shell hands over early messages in the same way.
    let _ = scope.add_event_listener_with_callback("message", on_message.as_ref().unchecked_ref());
    on_message.forget();
    dispatcher.outbox.send(Address::WORKER, Response::Ready);
}

/// Reports a panic to the page: a trap within a promise would not reach it otherwise.
fn report_panic(panic: &std::panic::PanicHookInfo<'_>) {
    let Ok(scope) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else { return };
    let body = Response::Panicked { message: panic.to_string() };
    let envelope = Envelope { id: JobId::NONE, clip: None, body, attachment: None };
    // A worker that panics has no second way to report it.
    let _ = post(&scope, &envelope, None);
}

impl Dispatcher {
    fn receive(self: &Rc<Self>, message: &JsValue) {
        match read(message) {
            Ok((envelope, attachment)) => self.dispatch(envelope, attachment),
            Err(error) => self.fail(Address::WORKER, error),
        }
    }

    fn dispatch(self: &Rc<Self>, envelope: Envelope<Request>, attachment: JsValue) {
        let Envelope { id, clip, body, .. } = envelope;
        let address = Address { id, clip };
        match (body, clip) {
            (Request::ReturnBuffer, _) => match attached(attachment) {
                Ok(buffer) => self.outbox.pool.put(buffer),
                Err(error) => self.fail(address, error),
            },
            (_, None) => self.fail(address, JobError::ClipNotOpen),
            (Request::Open, Some(clip)) => match attached(attachment) {
                Ok(file) => self.open(id, clip, file),
                Err(error) => self.fail(address, error),
            },
            (Request::ShowFrame { frame }, Some(clip)) => {
                self.wanted.set(Some(WantedFrame { id, clip, frame }));
                self.show();
            }
            (Request::StillFrame { frame }, Some(clip)) => {
                let this = Rc::clone(self);
                spawn_local(async move {
                    this.send_frame(WantedFrame { id, clip, frame }, Decoding::Beside).await
                });
            }
            (Request::Track(plan), Some(clip)) => self.run(id, clip, plan, Purpose::Track),
            (Request::Preview(plan), Some(clip)) => self.run(id, clip, plan, Purpose::Preview),
            (Request::Cancel { id }, Some(_)) => self.running.cancel(id),
            (Request::Close, Some(clip)) => {
                self.running.cancel_all_of(clip);
                self.clips.borrow_mut().close(clip);
            }
        }
    }

    fn fail(&self, to: Address, error: impl Into<JobError>) {
        self.outbox.send(to, Response::Failed(error.into()));
    }

    fn open(self: &Rc<Self>, id: JobId, clip: TrialId, file: File) {
        let this = Rc::clone(self);
        this.clips.borrow_mut().begin(clip);
        spawn_local(async move {
            let (opened, response) = match Clip::open(file).await {
                Ok((opened, known)) => (Some(opened), Response::Opened(known)),
                Err(error) => (None, Response::Failed(error)),
            };
            this.clips.borrow_mut().end(clip, opened);
            this.outbox.send(Address { id, clip: Some(clip) }, response);
            // The page may have asked for a frame in the meantime.
            this.show();
        });
    }

    fn run(self: &Rc<Self>, id: JobId, clip: TrialId, plan: TrackingPlan, purpose: Purpose) {
        let address = Address { id, clip: Some(clip) };
        let opened = match self.clips.borrow().get(clip) {
            Ok(opened) => opened,
            Err(error) => return self.fail(address, error),
        };
        let (outbox, running) = (Rc::clone(&self.outbox), Rc::clone(&self.running));
        self.running.begin(id, clip);
        spawn_local(async move {
            let job = Job { address, clip: opened, outbox, running };
            let outcome = match purpose {
                Purpose::Track => track(&job, plan).await.map(Response::Tracked),
                Purpose::Preview => preview(&job, plan).await.map(Response::Previewed),
            };
            job.running.end(id);
            job.outbox.send_outcome(address, outcome);
        });
    }

    async fn send_frame(&self, wanted: WantedFrame, decoding: Decoding) {
        let WantedFrame { id, clip, frame } = wanted;
        let address = Address { id, clip: Some(clip) };
        match self.image(clip, frame, decoding).await {
            Ok(image) => self.outbox.send_with(address, Response::Frame { frame }, Some(image)),
            Err(error) => self.fail(address, error),
        }
    }

    async fn image(
        &self,
        clip: TrialId,
        frame: u32,
        decoding: Decoding,
    ) -> Result<FrameImage, JobError> {
        let clip = self.clips.borrow().get(clip)?;
        let decoded = match decoding {
            Decoding::Served => clip.frame(frame).await?,
            Decoding::Beside => clip.still_frame(frame).await?,
        };
        Ok(self.outbox.pool.image(decoded, clip.source.picture).await)
    }

    /// Sends the frame that the page wants last; an earlier one that has not begun is skipped.
    fn show(self: &Rc<Self>) {
        if self.is_showing.replace(true) {
            return;
        }
        let this = Rc::clone(self);
        spawn_local(async move {
            while let Some(wanted) = this.wanted.take() {
                if this.clips.borrow().is_opening(wanted.clip) {
                    this.wanted.set(Some(wanted));
                    break;
                }
                this.send_frame(wanted, Decoding::Served).await;
            }
            this.is_showing.set(false);
        });
    }
}
