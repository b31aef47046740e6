//! Opens and closes clips.

use super::Conductor;
use crate::ui::open_clips::OpenClips;
use crate::ui::pending::{JobFailure, OnOpened, Pending};
use crate::ui::store::JobEvent;
use document::session::{ClipRef, TrialId};
use jobs::protocol::{JobError, Request};
use web_sys::File;

impl Conductor {
    /// Changes the register of open clips and publishes it.
    fn change_clips(&self, change: impl FnOnce(&mut OpenClips)) {
        change(&mut self.0.clips.borrow_mut());
        let clips = self.0.clips.borrow().clone();
        self.job(JobEvent::Clips(clips));
    }

    /// Opens this file as the clip of this trial.
    ///
    /// # Errors
    /// What is wrong with which file.
    pub async fn open(&self, trial: TrialId, file: File) -> Result<ClipRef, JobFailure> {
        let (sender, receiver) = futures_channel::oneshot::channel();
        let name = file.name();
        self.change_clips(|clips| clips.begin(name.clone()));
        let on_opened: OnOpened = Box::new(move |result| {
            // Nobody waits any more if the page has moved on.
            let _ = sender.send(result);
        });
        let pending = Pending::Open(on_opened);
        self.request_with(trial, Request::Open, Some(&file), Some(pending));
        let result = receiver.await.unwrap_or(Err(JobError::Unanswered));
        self.change_clips(|clips| {
            clips.end(&name);
            if result.is_ok() {
                clips.insert(trial, file);
            }
        });
        result.map_err(|error| JobFailure { clip: Some(name), error })
    }

    /// The file of a trial, if its clip is open.
    #[must_use]
    pub fn file(&self, trial: TrialId) -> Option<File> {
        self.0.clips.borrow().file(trial)
    }

    /// Closes this clip.
    pub fn close(&self, trial: TrialId) {
        self.request(trial, Request::Close, None);
        self.change_clips(|clips| clips.remove(trial));
    }

    /// Closes every clip, before another session is opened.
    pub fn close_all(&self) {
        let open = self.0.clips.replace(OpenClips::default()).all();
        for (trial, _) in open {
            self.request(trial, Request::Close, None);
        }
        self.stop_tracking(None);
        self.0.player.borrow_mut().forget();
        self.job(JobEvent::AllClosed(self.0.clips.borrow().clone()));
    }
}
