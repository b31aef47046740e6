//! The clips that are open in this worker.

use crate::clip::Clip;
use document::session::TrialId;
use jobs::protocol::JobError;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// The open clips, and those that are being opened.
#[derive(Default)]
pub struct OpenClips {
    open: BTreeMap<TrialId, Rc<Clip>>,
    opening: BTreeSet<TrialId>,
}

impl OpenClips {
    /// The clip of this trial.
    ///
    /// # Errors
    /// `ClipNotOpen`.
    pub fn get(&self, trial: TrialId) -> Result<Rc<Clip>, JobError> {
        self.open.get(&trial).cloned().ok_or(JobError::ClipNotOpen)
    }

    /// Whether the clip of this trial is being opened.
    pub fn is_opening(&self, trial: TrialId) -> bool {
        self.opening.contains(&trial)
    }

    /// The clip of this trial is being opened from now on.
    pub fn begin(&mut self, trial: TrialId) {
        self.opening.insert(trial);
    }

    /// Opening ended: with this clip, or with none.
    pub fn end(&mut self, trial: TrialId, clip: Option<Clip>) {
        self.opening.remove(&trial);
        if let Some(clip) = clip {
            self.open.insert(trial, Rc::new(clip));
        }
    }

    /// Closes the clip of this trial.
    pub fn close(&mut self, trial: TrialId) {
        self.open.remove(&trial);
    }
}
