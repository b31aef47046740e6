//! Takes questions in and sends answers out.

use super::buffer_pool::{Lent, Parcel};
use super::clip::Clip;
use super::preview_job::try_out;
use super::tracking_job::follow;
use document::session::TrialId;
use jobs::Told;
use jobs::{Answer, FollowPlan, Job, JobId, Question};
use js_sys::{Array, Object, Reflect};
use serde::Serialize;
use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;
use web_sys::{DedicatedWorkerGlobalScope, File, MessageEvent};

#[derive(Serialize)]
struct Envelope<'a> {
    id: JobId,
    answer: &'a Answer,
    told: Option<Told>,
}

/// The worker's state.
pub struct Desk {
    scope: DedicatedWorkerGlobalScope,
    clips: RefCell<BTreeMap<TrialId, Rc<Clip>>>,
    /// Clips that are being read; what is asked of them waits.
    opening: RefCell<BTreeSet<TrialId>>,
    cancelled: RefCell<BTreeSet<JobId>>,
    following: RefCell<BTreeMap<JobId, TrialId>>,
    wanted: Cell<Option<(JobId, TrialId, u32)>>,
    showing: Cell<bool>,
    /// What the page is lent.
    pub lent: Lent,
}

/// Listens for questions for as long as the worker lives.
pub fn start() {
    let Ok(scope) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else { return };
    std::panic::set_hook(Box::new(tell_of_death));
    let desk = Rc::new(Desk {
        scope: scope.clone(),
        clips: RefCell::default(),
        opening: RefCell::default(),
        cancelled: RefCell::default(),
        following: RefCell::default(),
        wanted: Cell::new(None),
        showing: Cell::new(false),
        lent: Lent::default(),
    });
    let at_desk = Rc::clone(&desk);
    let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
        at_desk.receive(&event.data())
    });
    // Added rather than set, as the shell hands over what came early in the same way.
    let _ = scope.add_event_listener_with_callback("message", on_message.as_ref().unchecked_ref());
    on_message.forget();
    desk.answer(JobId(0), &Answer::Ready, None);
}

/// Tells the page what stopped this worker: a trap within a promise would not reach it otherwise.
fn tell_of_death(panic: &std::panic::PanicHookInfo<'_>) {
    let Ok(scope) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else { return };
    let message = Object::new();
    // Setting a property of a plain object is never refused, and nobody is left to tell.
    let _ = Reflect::set(&message, &"died".into(), &panic.to_string().into());
    let _ = scope.post_message(&message);
}

impl Desk {
    fn receive(self: &Rc<Self>, data: &JsValue) {
        let back = Reflect::get(data, &"back".into()).ok().and_then(|b| b.dyn_into().ok());
        if let Some(buffer) = back {
            self.lent.back(buffer);
            return;
        }
        let json = Reflect::get(data, &"json".into()).ok().and_then(|j| j.as_string());
        let Some(question) = json.and_then(|j| serde_json::from_str::<Question>(&j).ok()) else {
            return;
        };
        let file = Reflect::get(data, &"file".into()).ok().and_then(|f| f.dyn_into::<File>().ok());
        let Question { id, clip, job } = question;
        match job {
            Job::Open => self.open(id, clip, file),
            Job::Show { frame } => {
                self.wanted.set(Some((id, clip, frame)));
                self.show();
            }
            Job::Glimpse { frame } => self.glimpse(id, clip, frame),
            Job::Follow(plan) => self.follow(id, clip, plan, false),
            Job::TryOut(plan) => self.follow(id, clip, plan, true),
            Job::Cancel { id } => self.cancel(id),
            Job::Close => {
                let of_clip = |(job, of): (&JobId, &TrialId)| (*of == clip).then_some(*job);
                let jobs: Vec<JobId> = self.following.borrow().iter().filter_map(of_clip).collect();
                jobs.into_iter().for_each(|job| self.cancel(job));
                self.clips.borrow_mut().remove(&clip);
            }
        }
    }

    fn follow(self: &Rc<Self>, id: JobId, clip: TrialId, plan: FollowPlan, tries_out: bool) {
        let this = Rc::clone(self);
        self.following.borrow_mut().insert(id, clip);
        spawn_local(async move {
            let answer = match this.clip(clip) {
                Ok(clip) if tries_out => try_out(&this, &clip, id, plan).await,
                Ok(clip) => follow(&this, &clip, id, plan).await,
                Err(reason) => Err(reason),
            };
            this.following.borrow_mut().remove(&id);
            this.cancelled.borrow_mut().remove(&id);
            this.answer(id, &answer.unwrap_or_else(|reason| Answer::Failed { reason }), None);
        });
    }

    fn glimpse(self: &Rc<Self>, id: JobId, clip: TrialId, frame: u32) {
        let this = Rc::clone(self);
        spawn_local(async move {
            let picture = async {
                let clip = this.clip(clip)?;
                Ok(this.lent.pack(clip.glimpse(frame).await?, clip.picture).await)
            };
            this.answer_with(id, frame, picture.await);
        });
    }

    fn answer_with(&self, id: JobId, frame: u32, picture: Result<Parcel, String>) {
        match picture {
            Ok(picture) => self.answer(id, &Answer::Shown { frame }, Some(picture)),
            Err(reason) => self.answer(id, &Answer::Failed { reason }, None),
        }
    }

    /// A job that is at work sees this before its next frame.
    fn cancel(&self, id: JobId) {
        if self.following.borrow().contains_key(&id) {
            self.cancelled.borrow_mut().insert(id);
        }
    }

    /// Whether this job was given up.
    pub fn is_cancelled(&self, id: JobId) -> bool {
        self.cancelled.borrow().contains(&id)
    }

    /// Now, in milliseconds.
    pub fn now_ms(&self) -> f64 {
        self.scope.performance().map_or(0.0, |p| p.now())
    }

    /// Sends an answer, with a picture that then belongs to the page.
    pub fn answer(&self, id: JobId, answer: &Answer, picture: Option<Parcel>) {
        let told = picture.as_ref().map(|p| p.told);
        let Ok(json) = serde_json::to_string(&Envelope { id, answer, told }) else { return };
        let message = Object::new();
        let transfer = Array::new();
        // Setting a property of a plain object is never refused.
        let _ = Reflect::set(&message, &"json".into(), &json.into());
        if let Some(picture) = picture {
            let _ = Reflect::set(&message, &picture.name.into(), &picture.content);
            transfer.push(&picture.content);
        }
        let _ = self.scope.post_message_with_transfer(&message, &transfer);
    }

    fn clip(&self, id: TrialId) -> Result<Rc<Clip>, String> {
        self.clips
            .borrow()
            .get(&id)
            .cloned()
            .ok_or_else(|| "This clip is not open: open its file again.".to_owned())
    }

    fn open(self: &Rc<Self>, id: JobId, clip: TrialId, file: Option<File>) {
        let this = Rc::clone(self);
        this.opening.borrow_mut().insert(clip);
        spawn_local(async move {
            let opened = match file {
                Some(file) => Clip::open(file).await,
                None => Err("No file came with the question: open the clip again.".to_owned()),
            };
            this.opening.borrow_mut().remove(&clip);
            match opened {
                Ok((opened, answer)) => {
                    this.clips.borrow_mut().insert(clip, Rc::new(opened));
                    this.answer(id, &answer, None);
                }
                Err(reason) => this.answer(id, &Answer::Failed { reason }, None),
            }
            // A frame may have been asked for meanwhile.
            this.show();
        });
    }

    /// Shows the frame asked for last; one that was asked for before and is not begun is passed over.
    fn show(self: &Rc<Self>) {
        if self.showing.replace(true) {
            return;
        }
        let this = Rc::clone(self);
        spawn_local(async move {
            while let Some((id, clip, frame)) = this.wanted.take() {
                if this.opening.borrow().contains(&clip) {
                    this.wanted.set(Some((id, clip, frame)));
                    break;
                }
                let picture = async {
                    let clip = this.clip(clip)?;
                    Ok(this.lent.pack(clip.picture_of_frame(frame).await?, clip.picture).await)
                };
                this.answer_with(id, frame, picture.await);
            }
            this.showing.set(false);
        });
    }
}
