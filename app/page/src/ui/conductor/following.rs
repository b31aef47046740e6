//! Followings: asked for, drawn while they go on, kept, and tried out before.

use super::Conductor;
use crate::browser::clock::{drawn, now_ms};
use crate::browser::frame_image::Sight;
use crate::ui::pending::Pending;
use crate::ui::store::{Action, Following, JobEvent, left_s};
use document::session::{Command, TrackSample, TrialCommand, TrialId};
use jobs::{Answer, FollowPlan, Job, JobId};
use mechanics::body::Landmark;
use std::collections::BTreeMap;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;

impl Conductor {
    /// Follows markers; `then` runs when it came to its end without being cancelled.
    pub fn follow(&self, trial: TrialId, plan: FollowPlan, then: Option<Box<dyn FnOnce()>>) {
        let total = plan.last - plan.first + 1;
        let only = match plan.markers.as_slice() {
            [marker] => Some(marker.landmark),
            _ => None,
        };
        // Corrected again before it came to its end: what it would find is out of date.
        self.cancel(|p| matches!(p, Pending::Follow { trial: t, only: Some(l), .. } if *t == trial && Some(*l) == only));
        // What is tried out is about to be seen.
        self.cancel(|p| matches!(p, Pending::TryOut(t) if *t == trial));
        let pending = Pending::Follow { trial, began_s: now_ms() / 1000.0, only, then };
        let frame = plan.first;
        let job = self.ask(trial, Job::Follow(plan), None, Some(pending));
        let latest = BTreeMap::new();
        self.job(JobEvent::Following(Following {
            job,
            trial,
            done: 0,
            total,
            frame,
            left_s: None,
            latest,
        }));
    }

    /// Tries a following out on the one marker of a plan; the store learns what came of it.
    pub fn try_out(&self, trial: TrialId, plan: FollowPlan) {
        self.cancel(|p| matches!(p, Pending::TryOut(t) if *t == trial));
        self.ask(trial, Job::TryOut(plan), None, Some(Pending::TryOut(trial)));
    }

    /// Gives up the following under way, of all trials or of one; what is done is kept.
    pub fn stop_following(&self, of: Option<TrialId>) {
        self.cancel(
            |p| matches!(p, Pending::Follow { trial, .. } if of.is_none_or(|t| t == *trial)),
        );
    }

    fn cancel(&self, which: impl Fn(&Pending) -> bool) {
        let under_way: Vec<(JobId, TrialId)> = (self.0.pending.borrow().iter())
            .filter_map(|(id, p)| which(p).then_some(*id).zip(p.trial()))
            .collect();
        for (id, trial) in under_way {
            self.ask(trial, Job::Cancel { id }, None, None);
        }
    }

    pub(super) fn on_progress(
        &self,
        id: JobId,
        (done, total): (u32, u32),
        (frame, latest): (u32, BTreeMap<Landmark, Option<TrackSample>>),
        picture: Option<&Rc<Sight>>,
    ) {
        // What comes faster than it can be drawn is passed over, or the page would lag behind more and more.
        let under_way = match self.0.pending.borrow().get(&id) {
            Some(Pending::Follow { trial, began_s, .. }) if !self.0.drawing.get() => {
                Some((*trial, *began_s))
            }
            _ => None,
        };
        if let Some((trial, began_s)) = under_way {
            let spent_s = now_ms() / 1000.0 - began_s;
            let left_s = left_s(spent_s, done, total);
            self.job(JobEvent::Following(Following {
                job: id,
                trial,
                done,
                total,
                frame,
                left_s,
                latest,
            }));
            self.wait_until_drawn();
            match picture {
                Some(picture) => self.on_live_picture((trial, frame), picture),
                None => self.show((trial, frame)),
            }
        }
    }

    fn wait_until_drawn(&self) {
        let weak = Rc::downgrade(&self.0);
        self.0.drawing.set(true);
        spawn_local(async move {
            drawn().await;
            if let Some(inner) = weak.upgrade() {
                inner.drawing.set(false);
            }
        });
    }

    pub(super) fn on_followed(
        &self,
        trial: TrialId,
        then: Option<Box<dyn FnOnce()>>,
        answer: Answer,
    ) {
        match answer {
            Answer::Followed { first, stretches, camera, repeated, cancelled } => {
                self.job(JobEvent::FollowingEnded);
                if self.session().trial(trial).is_none() {
                    // It was taken out meanwhile.
                    return;
                }
                let keep = TrialCommand::KeepFollowed { first, stretches, camera, repeated };
                self.0.dispatch.dispatch(Action::Do(Command::ForTrial(trial, keep)));
                if let (false, Some(then)) = (cancelled, then) {
                    spawn_local(async move { then() });
                }
            }
            Answer::Failed { reason } => {
                self.job(JobEvent::FollowingEnded);
                self.complain(reason);
            }
            _ => {}
        }
    }
}
