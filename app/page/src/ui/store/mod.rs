//! The state of the page: the document's history, the view, and the worker's jobs.

mod jobs;
mod view;

pub use jobs::{JobEvent, Jobs, TrackingProgress, left_s};
pub use view::{Notice, Screen, Step, View, ViewChange};

use super::sentences;
use document::session::{Command, History, Session, apply};
use std::rc::Rc;
use yew::Reducible;

/// Everything in memory. Only `history.present()` is ever saved.
#[derive(Clone, Debug, PartialEq)]
pub struct Store {
    /// The document and its undo steps.
    pub history: History,
    /// What is displayed.
    pub view: View,
    /// The worker's jobs.
    pub jobs: Jobs,
}

/// What can happen.
#[derive(Clone, Debug)]
pub enum Action {
    /// A gesture changed the document.
    Do(Command),
    /// One step back.
    Undo,
    /// One step forward again.
    Redo,
    /// The view changes.
    View(ViewChange),
    /// The worker's jobs change.
    Job(JobEvent),
    /// Another session replaces this one.
    Open(Rc<Session>, Screen),
    /// Another session replaces this one and is read-only, for this reason.
    OpenReadOnly(Rc<Session>, Screen, String),
    /// This session is read-only from now on, for this reason.
    MakeReadOnly(String),
}

impl Store {
    /// A store about this session.
    #[must_use]
    pub fn new(session: Session) -> Self {
        let trial = session.trials.first().map(|t| t.id);
        Self {
            history: History::new(session),
            view: View {
                screen: Screen::Home,
                trial,
                frame: 0,
                landmark: None,
                notices: Vec::new(),
                read_only: None,
            },
            jobs: Jobs::default(),
        }
    }

    /// The document.
    #[must_use]
    pub fn session(&self) -> &Rc<Session> {
        self.history.present()
    }

    /// The displayed trial: the chosen one, else the first.
    #[must_use]
    pub fn trial(&self) -> Option<&Rc<document::session::Trial>> {
        let session = self.session();
        self.view.trial.and_then(|id| session.trial(id)).or_else(|| session.trials.first())
    }

    fn carry_out(&mut self, command: &Command) {
        if let Some(reason) = self.view.read_only.clone() {
            return self.change_view(ViewChange::Say(Notice::problem(reason)));
        }
        match apply(self.session(), command) {
            Ok(next) => {
                self.history = self.history.clone().push(next);
                if matches!(command, Command::AddTrial { .. }) {
                    self.view.trial = self.session().trials.last().map(|t| t.id);
                    self.view.frame = 0;
                    self.view.landmark = None;
                }
            }
            Err(error) => {
                self.view.notices.push(Notice::problem(sentences::document::sentence(&error)))
            }
        }
    }

    fn open(&mut self, session: &Session, screen: Screen) {
        let notices = std::mem::take(&mut self.view.notices);
        // Its clips may be open already; those of the session before were closed.
        let jobs = std::mem::take(&mut self.jobs);
        *self = Store { jobs, ..Store::new(session.clone()) };
        self.view.notices = notices;
        self.view.screen = screen;
    }

    fn change_view(&mut self, change: ViewChange) {
        match change {
            ViewChange::Screen(screen) => self.view.screen = screen,
            ViewChange::Trial(id) => {
                self.view.trial = Some(id);
                self.view.landmark = None;
                self.view.frame = 0;
            }
            ViewChange::Frame(frame) => self.view.frame = frame,
            ViewChange::Landmark(landmark) => self.view.landmark = landmark,
            ViewChange::Say(mut notice) => {
                let same = |n: &&Notice| n.sentence == notice.sentence;
                let offers_reload = self.view.notices.iter().filter(same).any(|n| n.offers_reload);
                self.view.notices.retain(|n| n.sentence != notice.sentence);
                notice.offers_reload |= offers_reload;
                self.view.notices.push(notice);
            }
            ViewChange::Dismiss(index) => {
                if index < self.view.notices.len() {
                    self.view.notices.remove(index);
                }
            }
        }
        self.keep_view_valid();
    }

    /// After an undo the displayed trial or frame may be gone.
    fn keep_view_valid(&mut self) {
        let last = self.trial().map(|t| t.clip.info.frame_count().saturating_sub(1));
        self.view.frame = self.view.frame.min(last.unwrap_or(0));
        if let Some(id) = self.view.trial
            && self.session().trial(id).is_none()
        {
            self.view.trial = self.session().trials.first().map(|t| t.id);
        }
    }
}

impl Reducible for Store {
    type Action = Action;

    fn reduce(self: Rc<Self>, action: Action) -> Rc<Self> {
        let mut next = Store::clone(&self);
        match action {
            Action::Do(command) => next.carry_out(&command),
            Action::Undo => {
                next.history = next.history.undo();
                next.keep_view_valid();
            }
            Action::Redo => {
                next.history = next.history.redo();
                next.keep_view_valid();
            }
            Action::View(change) => next.change_view(change),
            Action::Job(event) => next.jobs.change(event),
            Action::Open(session, screen) => next.open(&session, screen),
            Action::OpenReadOnly(session, screen, reason) => {
                next.open(&session, screen);
                next.view.read_only = Some(reason);
            }
            Action::MakeReadOnly(reason) => {
                next.change_view(ViewChange::Say(Notice::problem(reason.clone())));
                next.view.read_only = Some(reason);
            }
        }
        Rc::new(next)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::open_clips::OpenClips;
    use document::session::TrialId;
    use wasm_bindgen::{JsCast, JsValue};

    fn name_it(store: Rc<Store>) -> Rc<Store> {
        store.reduce(Action::Do(Command::NameSession("Monday".into())))
    }

    #[test]
    fn a_read_only_session_stays_as_it_is_and_the_reason_is_said() {
        let session = Rc::new(Session::empty("a".into()));
        let start = Rc::new(Store::new(Session::empty("b".into())));
        let show = Action::OpenReadOnly(Rc::clone(&session), Screen::Home, "open elsewhere".into());
        let after = name_it(start.reduce(show));
        assert_eq!(after.session(), &session);
        let said: Vec<&str> = after.view.notices.iter().map(|n| n.sentence.as_str()).collect();
        assert_eq!(said, ["open elsewhere"]);
    }

    #[test]
    fn a_session_is_opened_with_nothing_to_undo_and_with_its_clips_open() {
        let start = Rc::new(Store::new(Session::empty("a".into())));
        let mut clips = OpenClips::default();
        clips.insert(TrialId(1), JsValue::NULL.unchecked_into());
        let session = Rc::new(Session { name: "example".into(), ..Session::empty("a".into()) });
        let after = start.reduce(Action::Job(JobEvent::Clips(clips)));
        let after = after.reduce(Action::Open(Rc::clone(&session), Screen::Step(Step::Markers)));
        assert!(after.jobs.clips.is_open(TrialId(1)));
        assert!(!after.history.can_undo());
        assert_eq!(after.reduce(Action::Undo).session(), &session);
    }

    #[test]
    fn a_notice_is_shown_once_and_keeps_its_offer_to_load_the_page_again() {
        let mut store = Rc::new(Store::new(Session::empty("a".into())));
        for notice in [Notice::with_reload("b"), Notice::problem("c"), Notice::problem("b")] {
            store = store.reduce(Action::View(ViewChange::Say(notice)));
        }
        assert_eq!(store.view.notices, [Notice::problem("c"), Notice::with_reload("b")]);
    }

    #[test]
    fn an_opened_session_can_be_changed_even_after_a_read_only_one() {
        let session = Rc::new(Session::empty("a".into()));
        let start = Rc::new(Store::new(Session::empty("b".into())));
        let shown =
            start.reduce(Action::OpenReadOnly(Rc::clone(&session), Screen::Home, "no".into()));
        let after = name_it(shown.reduce(Action::Open(session, Screen::Home)));
        assert_eq!(after.session().name, "Monday");
    }
}
