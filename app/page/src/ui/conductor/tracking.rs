//! Tracking runs and previews: requests, progress and results.

use super::Conductor;
use crate::browser::clock::{drawn, now_ms};
use crate::browser::frame_image::FrameImage;
use crate::browser::player::FramePlace;
use crate::ui::pending::{Pending, PendingTracking};
use crate::ui::store::{Action, JobEvent, TrackingProgress, left_s};
use document::session::{Command, TrialCommand, TrialId};
use jobs::TrackingPlan;
use jobs::protocol::{JobId, Progress, Request, Response, TrackingResult};
use std::collections::BTreeMap;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;

impl Conductor {
    /// Tracks markers; `then` runs at the end, unless the run is cancelled.
    pub fn track(&self, trial: TrialId, plan: TrackingPlan, then: Option<Box<dyn FnOnce()>>) {
        let only = match plan.markers.as_slice() {
            [marker] => Some(marker.landmark),
            _ => None,
        };
        // A second correction of the same marker makes the first run obsolete.
        self.cancel(|p| {
            matches!(p, Pending::Track(t) if t.trial == trial && t.only.is_some() && t.only == only)
        });
        // The run itself shows what a preview would.
        self.cancel(|p| matches!(p, Pending::Preview(t) if *t == trial));
        let progress = Progress {
            done: 0,
            total: plan.last - plan.first + 1,
            frame: plan.first,
            latest: BTreeMap::new(),
        };
        let tracking = PendingTracking { trial, began_s: now_ms() / 1000.0, only, then };
        let job = self.request(trial, Request::Track(plan), Some(Pending::Track(tracking)));
        let progress = TrackingProgress { job, trial, left_s: None, progress };
        self.job(JobEvent::Tracking(progress));
    }

    /// Previews tracking on the only marker of a plan; the store gets the result.
    pub fn preview(&self, trial: TrialId, plan: TrackingPlan) {
        self.cancel(|p| matches!(p, Pending::Preview(t) if *t == trial));
        self.request(trial, Request::Preview(plan), Some(Pending::Preview(trial)));
    }

    /// Cancels tracking, of every trial or of one. The tracks so far are kept.
    pub fn stop_tracking(&self, of: Option<TrialId>) {
        self.cancel(|p| matches!(p, Pending::Track(t) if of.is_none_or(|of| of == t.trial)));
    }

    fn cancel(&self, which: impl Fn(&Pending) -> bool) {
        let to_cancel: Vec<(JobId, TrialId)> = (self.0.pending.borrow().iter())
            .filter_map(|(id, p)| which(p).then_some(*id).zip(p.trial()))
            .collect();
        for (id, trial) in to_cancel {
            self.request(trial, Request::Cancel { id }, None);
        }
    }

    pub(super) fn on_progress(
        &self,
        job: JobId,
        progress: Progress,
        image: Option<&Rc<FrameImage>>,
    ) {
        // Progress that comes faster than it can be drawn is skipped, or the page would fall behind.
        let (trial, began_s) = match self.0.pending.borrow().get(&job) {
            Some(Pending::Track(t)) if !self.0.is_drawing.get() => (t.trial, t.began_s),
            _ => return,
        };
        let left_s = left_s(now_ms() / 1000.0 - began_s, progress.done, progress.total);
        let place = FramePlace { trial, frame: progress.frame };
        self.job(JobEvent::Tracking(TrackingProgress { job, trial, left_s, progress }));
        self.wait_until_drawn();
        match image {
            Some(image) => self.on_live_frame(place, image),
            None => self.show(place),
        }
    }

    fn wait_until_drawn(&self) {
        let weak = Rc::downgrade(&self.0);
        self.0.is_drawing.set(true);
        spawn_local(async move {
            drawn().await;
            if let Some(inner) = weak.upgrade() {
                inner.is_drawing.set(false);
            }
        });
    }

    pub(super) fn on_tracking_response(&self, pending: PendingTracking, response: Response) {
        match response {
            Response::Tracked(result) => {
                self.job(JobEvent::TrackingEnded);
                self.keep_tracks(pending, result);
            }
            Response::Failed(error) => {
                self.job(JobEvent::TrackingEnded);
                self.complain_of_job(pending.trial, error);
            }
            _ => {}
        }
    }

    fn keep_tracks(&self, pending: PendingTracking, result: TrackingResult) {
        if self.session().trial(pending.trial).is_none() {
            // It was removed in the meantime.
            return;
        }
        let TrackingResult { tracks, camera, duplicates, cancelled } = result;
        let keep = TrialCommand::KeepFollowed {
            first: tracks.first,
            stretches: tracks.samples,
            camera,
            repeated: duplicates,
        };
        self.0.dispatch.dispatch(Action::Do(Command::ForTrial(pending.trial, keep)));
        if let (false, Some(then)) = (cancelled, pending.then) {
            spawn_local(async move { then() });
        }
    }
}
