//! The properties of the steps about one trial.

use crate::ui::components::Shared;
use crate::ui::store::{Jobs, View};
use document::results::TrialResult;
use document::session::{Session, Trial};
use std::rc::Rc;
use yew::prelude::*;

/// The properties of every step about one trial.
#[derive(Properties, Clone, PartialEq)]
pub struct StepProps {
    /// The document.
    pub session: Rc<Session>,
    /// The current trial.
    pub trial: Rc<Trial>,
    /// The view.
    pub view: View,
    /// The work of the worker.
    pub jobs: Jobs,
}

impl StepProps {
    /// Whether the clip of this trial is open.
    #[must_use]
    pub fn is_clip_open(&self) -> bool {
        self.jobs.open.contains_key(&self.trial.id)
    }

    /// Whether a file is being opened.
    #[must_use]
    pub fn is_opening(&self) -> bool {
        !self.jobs.opening.is_empty()
    }
}

/// The properties of a step that shows results.
#[derive(Properties, PartialEq)]
pub struct ResultProps {
    /// As for every step.
    pub step: StepProps,
    /// The numbers of the trial, or what is missing for them.
    pub result: Shared<TrialResult>,
}
