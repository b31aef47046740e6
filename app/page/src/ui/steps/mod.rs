//! The steps of the work, a screen each.

mod breakdown;
mod clip;
mod ledger;
mod markers;
mod monte_carlo;
mod scale;
mod side_by_side;
mod strides;

pub use clip::ClipStep;
pub use ledger::LedgerStep;
pub use markers::MarkersStep;
pub use scale::ScaleStep;
pub use side_by_side::SideBySideStep;
pub use strides::StridesStep;

use crate::ui::store::{Jobs, View};
use document::session::{Session, Trial};
use std::rc::Rc;
use yew::prelude::*;

/// What every step about one trial is given.
#[derive(Properties, Clone, PartialEq)]
pub struct StepProps {
    /// The document.
    pub session: Rc<Session>,
    /// The trial looked at.
    pub trial: Rc<Trial>,
    /// What is looked at.
    pub view: View,
    /// What the worker is doing.
    pub jobs: Jobs,
}

impl StepProps {
    /// Whether the worker has this trial's clip in hand.
    #[must_use]
    pub fn clip_in_hand(&self) -> bool {
        self.jobs.open.contains_key(&self.trial.id)
    }
}
