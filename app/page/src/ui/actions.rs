//! What a component can do: change the document or the view, and ask the worker. The root provides it once.

use super::conductor::Conductor;
use super::store::{Action, Notice, Screen, Step, Store, ViewChange};
use document::session::{Command, TrialCommand, TrialId};
use yew::prelude::*;

/// The dispatcher and the conductor. Equality compares pointers, so passing it on never causes a render.
#[derive(Clone, PartialEq)]
pub struct Actions {
    /// Dispatches to the store.
    pub dispatch: UseReducerDispatcher<Store>,
    /// Talks to the worker.
    pub conductor: Conductor,
}

impl Actions {
    /// Applies a command to the document.
    pub fn apply(&self, command: Command) {
        self.dispatch.dispatch(Action::Do(command));
    }

    /// Applies a command to a trial.
    pub fn change_trial(&self, trial: TrialId, change: TrialCommand) {
        self.apply(Command::ForTrial(trial, change));
    }

    /// Changes the view.
    pub fn change_view(&self, change: ViewChange) {
        self.dispatch.dispatch(Action::View(change));
    }

    /// Opens a step.
    pub fn go_to(&self, step: Step) {
        self.change_view(ViewChange::Screen(Screen::Step(step)));
    }

    /// Shows a problem.
    pub fn report(&self, sentence: impl Into<String>) {
        let notice = Notice { problem: true, sentence: sentence.into() };
        self.change_view(ViewChange::Say(notice));
    }

    /// Shows a notice that is no problem.
    pub fn notify(&self, sentence: impl Into<String>) {
        let notice = Notice { problem: false, sentence: sentence.into() };
        self.change_view(ViewChange::Say(notice));
    }
}

/// The actions of the page.
///
/// # Panics
/// Never in the page: the root provides them before any component is rendered.
#[hook]
pub fn use_actions() -> Actions {
    #[allow(
        clippy::expect_used,
        reason = "a component outside the root is our own mistake, seen at once"
    )]
    use_context::<Actions>().expect("the root provides the actions")
}
