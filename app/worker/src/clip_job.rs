//! A request that takes time: what it works on, and whether it was cancelled.

use crate::clip::Clip;
use crate::outbox::{Address, Outbox};
use document::session::TrialId;
use jobs::protocol::{JobId, Response};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// The jobs that run.
#[derive(Default)]
pub struct RunningJobs {
    running: RefCell<BTreeMap<JobId, TrialId>>,
    cancelled: RefCell<BTreeSet<JobId>>,
}

impl RunningJobs {
    /// A job begins.
    pub fn begin(&self, id: JobId, clip: TrialId) {
        self.running.borrow_mut().insert(id, clip);
    }

    /// A job ended.
    pub fn end(&self, id: JobId) {
        self.running.borrow_mut().remove(&id);
        self.cancelled.borrow_mut().remove(&id);
    }

    /// Cancels a job, if it runs. The job sees it before its next frame.
    pub fn cancel(&self, id: JobId) {
        if self.running.borrow().contains_key(&id) {
            self.cancelled.borrow_mut().insert(id);
        }
    }

    /// Cancels every job on a clip.
    pub fn cancel_all_of(&self, clip: TrialId) {
        let running = self.running.borrow();
        let of_clip = running.iter().filter(|(_, of)| **of == clip).map(|(id, _)| *id);
        self.cancelled.borrow_mut().extend(of_clip);
    }

    fn is_cancelled(&self, id: JobId) -> bool {
        self.cancelled.borrow().contains(&id)
    }
}

/// A job on an open clip.
#[derive(Clone)]
pub struct Job {
    /// Where its messages go.
    pub address: Address,
    /// The clip.
    pub clip: Rc<Clip>,
    /// The way to the page.
    pub outbox: Rc<Outbox>,
    /// Knows whether it was cancelled.
    pub running: Rc<RunningJobs>,
}

impl Job {
    /// Whether the page cancelled it.
    pub fn is_cancelled(&self) -> bool {
        self.running.is_cancelled(self.address.id)
    }

    /// Sends a response of this job.
    pub fn send(&self, body: Response) {
        self.outbox.send(self.address, body);
    }
}
