//! Carries the page's wishes to the worker and the worker's answers to the store.

mod following;

use super::pending::{Opened, Pending, Sink};
use super::store::{Action, JobEvent, Notice, Store, ViewChange};
use crate::browser::frame_image::Sight;
use crate::browser::player::{Place, Player};
use crate::browser::worker_client::{WorkerEvent, WorkerLink};
use document::session::{ClipRef, Session, TrialId};
use jobs::{Answer, Job, JobId, Question};
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use web_sys::File;
use yew::UseReducerDispatcher;

/// Chosen: a worker that dies so often without one answer will not live.
const MOST_DEATHS: u32 = 3;

struct Inner {
    link: RefCell<Option<WorkerLink>>,
    dispatch: UseReducerDispatcher<Store>,
    session: RefCell<Rc<Session>>,
    last_job: Cell<u64>,
    pending: RefCell<BTreeMap<JobId, Pending>>,
    player: RefCell<Player>,
    sink: RefCell<Option<Sink>>,
    files: RefCell<BTreeMap<TrialId, File>>,
    /// How often the worker died since it last answered.
    deaths: Cell<u32>,
    /// Whether what a following told last is still being drawn.
    drawing: Cell<bool>,
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

    /// A conductor that asks nobody, for drawing components where there is no browser.
    #[must_use]
    pub fn without_worker(dispatch: UseReducerDispatcher<Store>, session: Rc<Session>) -> Self {
        Self(Rc::new(Inner {
            link: RefCell::new(None),
            dispatch,
            session: RefCell::new(session),
            last_job: Cell::new(0),
            pending: RefCell::default(),
            player: RefCell::default(),
            sink: RefCell::new(None),
            files: RefCell::default(),
            deaths: Cell::new(0),
            drawing: Cell::new(false),
        }))
    }

    fn start_worker(&self) {
        let weak = Rc::downgrade(&self.0);
        let link = WorkerLink::start(move |event| {
            if let Some(inner) = weak.upgrade() {
                Conductor(inner).on_event(event);
            }
        });
        match link {
            Ok(link) => *self.0.link.borrow_mut() = Some(link),
            Err(reason) => self.complain(reason),
        }
    }

    /// The root tells which session is the present one.
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

    fn complain(&self, sentence: String) {
        self.0.dispatch.dispatch(Action::View(ViewChange::Say(Notice { problem: true, sentence })));
    }

    fn ask(&self, clip: TrialId, job: Job, file: Option<File>, pending: Option<Pending>) -> JobId {
        let id = JobId(self.0.last_job.get() + 1);
        self.0.last_job.set(id.0);
        if let Some(pending) = pending {
            self.0.pending.borrow_mut().insert(id, pending);
        }
        if let Some(link) = self.0.link.borrow().as_ref() {
            link.ask(&Question { id, clip, job }, file.as_ref());
        }
        id
    }

    /// Has the worker read this file as the clip of this trial.
    pub async fn open(&self, trial: TrialId, file: File) -> Result<ClipRef, String> {
        let (done, answer) = futures_channel::oneshot::channel();
        let name = file.name();
        self.job(JobEvent::Opening(name.clone()));
        let told: Opened = Box::new(move |result| {
            // Nobody waits any more when the page has moved on.
            let _ = done.send(result);
        });
        self.ask(trial, Job::Open, Some(file.clone()), Some(Pending::Open(told)));
        let result =
            answer.await.unwrap_or_else(|_| Err(format!("{name} was not opened: open it again")));
        match &result {
            Ok(clip) => {
                self.0.files.borrow_mut().insert(trial, file);
                self.job(JobEvent::Opened(trial, clip.fingerprint.clone(), name));
            }
            Err(_) => self.job(JobEvent::NotOpened(name)),
        }
        result
    }

    /// The file of a trial, while the page has it.
    #[must_use]
    pub fn file(&self, trial: TrialId) -> Option<File> {
        self.0.files.borrow().get(&trial).cloned()
    }

    /// The worker lets go of this clip.
    pub fn close(&self, trial: TrialId) {
        self.ask(trial, Job::Close, None, None);
        self.0.files.borrow_mut().remove(&trial);
        self.job(JobEvent::Closed(trial));
    }

    /// The worker lets go of every clip; another session is about to be looked at.
    pub fn close_all(&self) {
        let open: Vec<TrialId> = self.0.files.borrow().keys().copied().collect();
        for trial in open {
            self.ask(trial, Job::Close, None, None);
        }
        self.stop_following(None);
        self.0.files.borrow_mut().clear();
        self.0.player.borrow_mut().forget();
        self.job(JobEvent::AllClosed);
    }

    /// Where pictures are drawn from now on.
    pub fn draw_on(&self, sink: Option<Sink>) {
        *self.0.sink.borrow_mut() = sink;
        self.0.player.borrow_mut().forget();
    }

    /// Shows this frame as soon as can be.
    pub fn show(&self, place: Place) {
        let next = self.0.player.borrow_mut().want(place);
        self.ask_for(next);
    }

    fn ask_for(&self, place: Option<Place>) {
        if let Some(place) = place {
            self.ask(place.0, Job::Show { frame: place.1 }, None, Some(Pending::Show(place)));
        }
    }

    /// Has this done with the picture of a frame, beside what is shown.
    pub fn glimpse(&self, (trial, frame): Place, then: impl FnOnce(&Sight) + 'static) {
        let pending = Pending::Glimpse(trial, Box::new(then));
        self.ask(trial, Job::Glimpse { frame }, None, Some(pending));
    }

    /// Plays from this frame; at rest again, the store learns the frame.
    pub fn play(
        &self,
        from: Place,
        times_s: Rc<[f64]>,
        speed_ratio: f64,
        on_end: impl Fn() + 'static,
    ) {
        let weak = Rc::downgrade(&self.0);
        let on_tick = move |time_ms| {
            let Some(this) = weak.upgrade().map(Conductor) else { return };
            let due = this.0.player.borrow().due(time_ms);
            if let Some((place, last)) = due {
                this.show(place);
                if last {
                    on_end();
                }
            }
        };
        self.0.player.borrow_mut().play(from, times_s, speed_ratio, on_tick);
    }

    /// Stops playing; answers the frame last shown.
    pub fn stop(&self) -> Option<Place> {
        let mut player = self.0.player.borrow_mut();
        player.stop();
        player.shown()
    }

    fn on_event(&self, event: WorkerEvent) {
        if matches!(event, WorkerEvent::Answered { .. }) {
            self.0.deaths.set(0);
        }
        match event {
            WorkerEvent::Answered { id, answer, sight } => self.on_answer(id, answer, sight),
            WorkerEvent::Died(reason) => self.on_death(&reason),
        }
    }

    fn on_answer(&self, id: JobId, answer: Answer, picture: Option<Rc<Sight>>) {
        if let Answer::Progress { done, total, frame, latest } = answer {
            return self.on_progress(id, (done, total), (frame, latest), picture.as_ref());
        }
        let pending = self.0.pending.borrow_mut().remove(&id);
        match (pending, answer) {
            (Some(Pending::Show(place)), Answer::Shown { .. }) => {
                self.on_picture(place, picture.as_ref())
            }
            (Some(Pending::Glimpse(_, then)), Answer::Shown { .. }) => {
                if let Some(picture) = &picture {
                    then(picture);
                }
            }
            (Some(Pending::Open(told)), Answer::Opened { info, name, size_bytes, fingerprint }) => {
                told(Ok(ClipRef { name, size_bytes, fingerprint, info: Rc::new(info) }));
            }
            (Some(Pending::Open(told)), Answer::Failed { reason }) => told(Err(reason)),
            (Some(Pending::Show(_)), Answer::Failed { reason }) => {
                self.0.player.borrow_mut().failed();
                self.complain(reason);
            }
            (Some(Pending::Follow { trial, then, .. }), answer) => {
                self.on_followed(trial, then, answer)
            }
            (Some(Pending::TryOut(trial)), Answer::TriedOut(Some(tryout))) => {
                self.job(JobEvent::TriedOut(trial, tryout));
            }
            _ => {}
        }
    }

    fn on_picture(&self, place: Place, picture: Option<&Rc<Sight>>) {
        let sink = self.0.sink.borrow().clone();
        if let (Some(sink), Some(picture)) = (sink, picture) {
            sink(place, picture);
        }
        let next = self.0.player.borrow_mut().arrived(place);
        self.ask_for(next);
    }

    /// The picture of a frame in which markers were just found: drawn without having been asked for.
    fn on_live_picture(&self, place: Place, picture: &Rc<Sight>) {
        let sink = self.0.sink.borrow().clone();
        if let Some(sink) = sink {
            sink(place, picture);
        }
        self.0.player.borrow_mut().drawn(place);
    }

    /// The worker trapped: a new one takes its place and reads the open clips again.
    fn on_death(&self, reason: &str) {
        self.0.pending.borrow_mut().clear();
        self.0.player.borrow_mut().forget();
        self.job(JobEvent::FollowingEnded);
        self.0.deaths.set(self.0.deaths.get() + 1);
        if self.0.deaths.get() > MOST_DEATHS {
            self.complain(format!(
                "The worker does not start ({reason}). Nothing entered is lost: load the page again, or use another browser."
            ));
            return;
        }
        self.complain(format!(
            "The worker stopped ({reason}). Nothing entered is lost: it was started again."
        ));
        self.start_worker();
        let files: Vec<(TrialId, File)> =
            self.0.files.borrow().iter().map(|(id, f)| (*id, f.clone())).collect();
        for (trial, file) in files {
            let this = self.clone();
            spawn_local(async move {
                if let Err(reason) = this.open(trial, file).await {
                    this.complain(reason);
                }
            });
        }
    }
}
