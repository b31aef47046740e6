//! What a component needs to act: the dispatcher and the conductor, handed down once and never changed.

use super::conductor::Conductor;
use super::store::{Action, Look, Notice, Screen, Step, Store};
use document::session::{Command, TrialCommand, TrialId};
use yew::prelude::*;

/// The way up from any component; comparing two is comparing pointers, so nobody is drawn anew for it.
#[derive(Clone, PartialEq)]
pub struct Hands {
    /// The way to the store.
    pub dispatch: UseReducerDispatcher<Store>,
    /// The way to the worker and to the device.
    pub conductor: Conductor,
}

impl Hands {
    /// Carries out one command.
    pub fn carry_out(&self, command: Command) {
        self.dispatch.dispatch(Action::Do(command));
    }

    /// Carries out one command on a trial.
    pub fn change(&self, trial: TrialId, change: TrialCommand) {
        self.carry_out(Command::ForTrial(trial, change));
    }

    /// Looks at something else.
    pub fn look(&self, look: Look) {
        self.dispatch.dispatch(Action::Look(look));
    }

    /// Goes to a step.
    pub fn go(&self, step: Step) {
        self.look(Look::Screen(Screen::Step(step)));
    }

    /// Says that something went wrong.
    pub fn complain(&self, sentence: impl Into<String>) {
        self.look(Look::Say(Notice { problem: true, sentence: sentence.into() }));
    }

    /// Says something.
    pub fn say(&self, sentence: impl Into<String>) {
        self.look(Look::Say(Notice { problem: false, sentence: sentence.into() }));
    }
}

/// The hands of the page.
///
/// # Panics
/// Never in the page: the root provides them before any component is drawn.
#[hook]
pub fn use_hands() -> Hands {
    #[allow(
        clippy::expect_used,
        reason = "a component outside the root is our own mistake, seen at once"
    )]
    use_context::<Hands>().expect("the root provides the hands")
}
