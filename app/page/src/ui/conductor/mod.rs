//! Carries the page's requests to the worker and the worker's responses to the store.

mod clips;
mod display;
mod tracking;

use super::open_clips::OpenClips;
use super::pending::{FrameSink, JobFailure, Pending};
use super::sentences;
use super::store::{Action, JobEvent, Notice, Store, ViewChange};
use crate::browser::frame_image::FrameImage;
use crate::browser::player::Player;
use crate::browser::worker_client::{WorkerClient, WorkerEvent};
use document::session::{Session, TrialId};
use jobs::protocol::{Attachment, Envelope, JobError, JobId, Request, Response};
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use web_sys::File;
use yew::UseReducerDispatcher;

/// Chosen: a worker that stops this often without one response will not live.
const MOST_STOPS: u32 = 3;

struct Inner {
    client: RefCell<Option<WorkerClient>>,
    dispatch: UseReducerDispatcher<Store>,
    session: RefCell<Rc<Session>>,
    last_job: Cell<u64>,
    pending: RefCell<BTreeMap<JobId, Pending>>,
    player: RefCell<Player>,
    sink: RefCell<Option<FrameSink>>,
    clips: RefCell<OpenClips>,
    /// How often the worker stopped since its last response.
    stops: Cell<u32>,
    /// Whether the last progress of a tracking run is still being drawn.
    is_drawing: Cell<bool>,
}

/// Shared by all components; cloned by pointer.
#[derive(Clone)]
pub struct Conductor(Rc<Inner>);

impl PartialEq for Conductor {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

impl Conductor {
    /// A conductor with a worker of its own.
    #[must_use]
    pub fn new(dispatch: UseReducerDispatcher<Store>, session: Rc<Session>) -> Self {
        let this = Self::without_worker(dispatch, session);
        this.start_worker();
        this
    }

    /// A conductor without a worker, for drawing components outside a browser.
    #[must_use]
    pub fn without_worker(dispatch: UseReducerDispatcher<Store>, session: Rc<Session>) -> Self {
        Self(Rc::new(Inner {
            client: RefCell::new(None),
            dispatch,
            session: RefCell::new(session),
            last_job: Cell::new(JobId::NONE.0),
            pending: RefCell::default(),
            player: RefCell::default(),
            sink: RefCell::new(None),
            clips: RefCell::default(),
            stops: Cell::new(0),
            is_drawing: Cell::new(false),
        }))
    }

    fn start_worker(&self) {
        let weak = Rc::downgrade(&self.0);
        let client = WorkerClient::start(move |event| {
            if let Some(inner) = weak.upgrade() {
                Conductor(inner).on_event(event);
            }
        });
        match client {
            Ok(client) => *self.0.client.borrow_mut() = Some(client),
            Err(error) => self.complain(Notice::problem(sentences::browser::sentence(&error))),
        }
    }

    /// The root sets the present session.
    pub fn now_at(&self, session: Rc<Session>) {
        *self.0.session.borrow_mut() = session;
    }

    /// The present session.
    #[must_use]
    pub fn session(&self) -> Rc<Session> {
        Rc::clone(&self.0.session.borrow())
    }

    fn job(&self, event: JobEvent) {
        self.0.dispatch.dispatch(Action::Job(event));
    }

    fn complain(&self, notice: Notice) {
        self.0.dispatch.dispatch(Action::View(ViewChange::Say(notice)));
    }

    fn complain_of_job(&self, trial: TrialId, error: JobError) {
        let clip = self.session().trial(trial).map(|t| t.clip.name.clone());
        let failure = JobFailure { clip, error };
        self.complain(Notice::problem(sentences::jobs::sentence(&failure)));
    }

    fn request(&self, clip: TrialId, request: Request, pending: Option<Pending>) -> JobId {
        self.request_with(clip, request, None, pending)
    }

    fn request_with(
        &self,
        clip: TrialId,
        body: Request,
        file: Option<&File>,
        pending: Option<Pending>,
    ) -> JobId {
        let id = JobId(self.0.last_job.get() + 1);
        self.0.last_job.set(id.0);
        if let Some(pending) = pending {
            self.0.pending.borrow_mut().insert(id, pending);
        }
        let attachment = file.map(|_| Attachment::File);
        let envelope = Envelope { id, clip: Some(clip), body, attachment };
        let sent = self.0.client.borrow().as_ref().map_or(Ok(()), |c| c.send(&envelope, file));
        if let Err(error) = sent {
            self.on_unreadable(sentences::browser::request_unreadable(&error));
        }
        id
    }

    fn on_event(&self, event: WorkerEvent) {
        match event {
            WorkerEvent::Response { id, body, image } => {
                self.0.stops.set(0);
                self.on_response(id, body, image.as_ref());
            }
            WorkerEvent::Unreadable(error) => {
                self.on_unreadable(sentences::browser::answer_unreadable(&error));
            }
            WorkerEvent::Stopped(reason) => self.on_stopped(&reason),
        }
    }

    fn on_response(&self, id: JobId, response: Response, image: Option<&Rc<FrameImage>>) {
        let response = match response {
            Response::Progress(progress) => return self.on_progress(id, progress, image),
            Response::Failed(JobError::Protocol(error)) => {
                return self.on_unreadable(sentences::browser::request_unreadable(&error));
            }
            response => response,
        };
        let pending = self.0.pending.borrow_mut().remove(&id);
        match (pending, response) {
            (Some(Pending::ShowFrame(place)), Response::Frame { .. }) => {
                self.on_frame(place, image);
            }
            (Some(Pending::StillFrame(_, then)), Response::Frame { .. }) => {
                if let Some(image) = image {
                    then(image);
                }
            }
            (Some(Pending::Open(on_opened)), Response::Opened(clip)) => on_opened(Ok(clip)),
            (Some(Pending::Open(on_opened)), Response::Failed(error)) => on_opened(Err(error)),
            (Some(Pending::ShowFrame(place)), Response::Failed(error)) => {
                self.0.player.borrow_mut().failed();
                self.complain_of_job(place.trial, error);
            }
            (Some(Pending::Track(tracking)), response) => {
                self.on_tracking_response(tracking, response);
            }
            (Some(Pending::Preview(trial)), Response::Previewed(Some(preview))) => {
                self.job(JobEvent::Previewed(trial, preview));
            }
            _ => {}
        }
    }

    /// A message did not arrive, and nobody knows which request it belongs to: requests end, except tracking runs, whose
    /// next message may arrive. The notice offers to load the page again.
    fn on_unreadable(&self, sentence: String) {
        let (running, ended): (BTreeMap<_, _>, BTreeMap<_, _>) = (self.0.pending.take())
            .into_iter()
            .partition(|(_, pending)| matches!(pending, Pending::Track(_)));
        *self.0.pending.borrow_mut() = running;
        for pending in ended.into_values() {
            if let Pending::Open(on_opened) = pending {
                on_opened(Err(JobError::Unanswered));
            }
        }
        self.0.player.borrow_mut().failed();
        self.job(JobEvent::TrackingEnded);
        self.complain(Notice::with_reload(sentence));
    }

    /// The worker stopped: a new one takes its place and opens the clips again.
    fn on_stopped(&self, reason: &str) {
        self.0.pending.borrow_mut().clear();
        self.0.player.borrow_mut().forget();
        self.job(JobEvent::TrackingEnded);
        self.0.stops.set(self.0.stops.get() + 1);
        if self.0.stops.get() > MOST_STOPS {
            self.complain(Notice::with_reload(sentences::browser::worker_lost(reason)));
            return;
        }
        self.complain(Notice::problem(sentences::browser::worker_restarted(reason)));
        self.start_worker();
        let open = self.0.clips.borrow().all();
        for (trial, file) in open {
            let this = self.clone();
            spawn_local(async move {
                if let Err(failure) = this.open(trial, file).await {
                    this.complain(Notice::problem(sentences::jobs::sentence(&failure)));
                }
            });
        }
    }
}
