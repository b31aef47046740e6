//! What the page knows while it is open: the document's history, the view, and the work under way.

use super::sentences;
use document::session::{Command, History, Session, TrackSample, TrialId, apply};
use jobs::{JobId, Tryout};
use mechanics::body::Landmark;
use std::collections::BTreeMap;
use std::rc::Rc;
use yew::Reducible;

/// Everything in memory. Only `history.present()` is ever saved.
#[derive(Clone, Debug, PartialEq)]
pub struct Store {
    /// The document and its steps.
    pub history: History,
    /// What is looked at.
    pub view: View,
    /// What the worker is doing.
    pub jobs: Jobs,
}

/// What is looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct View {
    /// Which screen.
    pub screen: Screen,
    /// Which trial the steps are about.
    pub trial: Option<TrialId>,
    /// The frame at rest; while a clip plays, the stage alone knows.
    pub frame: u32,
    /// The landmark that the next mark is for.
    pub landmark: Option<Landmark>,
    /// What the page has to say, newest last.
    pub notices: Vec<Notice>,
    /// Why the session is only shown: neither changed nor saved. None for one that is worked on.
    pub read_only: Option<String>,
}

/// A screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Screen {
    /// Where the work begins.
    Home,
    /// How to film, and the cautions.
    Guide,
    /// One step of the work on a trial, or the two trials side by side.
    Step(Step),
}

/// A step of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Which clip, and is it fit?
    Clip,
    /// How long is one metre in it?
    Scale,
    /// Where are the joints?
    Markers,
    /// When do the feet meet the ground?
    Strides,
    /// What does a stride cost?
    Ledger,
    /// How do the two ways differ?
    SideBySide,
}

impl Step {
    /// The steps in order.
    pub const ALL: [Step; 6] =
        [Step::Clip, Step::Scale, Step::Markers, Step::Strides, Step::Ledger, Step::SideBySide];

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Step::Clip => "Clip",
            Step::Scale => "Scale",
            Step::Markers => "Markers",
            Step::Strides => "Strides",
            Step::Ledger => "Ledger",
            Step::SideBySide => "Side by side",
        }
    }
}

/// Something the page has to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// Whether something went wrong.
    pub problem: bool,
    /// The sentence.
    pub sentence: String,
}

/// What the worker is doing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Jobs {
    /// The clips the worker has in hand, with their fingerprints.
    pub open: BTreeMap<TrialId, String>,
    /// Names of files being opened.
    pub opening: Vec<String>,
    /// What trying a following out told.
    pub tried: BTreeMap<TrialId, Tryout>,
    /// The following under way.
    pub following: Option<Following>,
}

/// A following under way.
#[derive(Clone, Debug, PartialEq)]
pub struct Following {
    /// Its job.
    pub job: JobId,
    /// In which clip.
    pub trial: TrialId,
    /// Frames done.
    pub done: u32,
    /// Frames to do.
    pub total: u32,
    /// The frame just done.
    pub frame: u32,
    /// Time left, once it can be told.
    pub left_s: Option<f64>,
    /// Where the markers are in the frame just done.
    pub latest: BTreeMap<Landmark, Option<TrackSample>>,
}

/// Time that is left of a following that has done so many frames of so many; none until it has gone on for a second and
/// a twentieth of its way: at first all takes longer, as everything is being set up.
#[must_use]
pub fn left_s(spent_s: f64, done: u32, total: u32) -> Option<f64> {
    let is_steady = spent_s >= 1.0 && done.saturating_mul(20) >= total && done > 0;
    is_steady.then(|| spent_s / f64::from(done) * f64::from(total.saturating_sub(done)))
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
    /// Something else is looked at.
    View(ViewChange),
    /// The worker is further.
    Job(JobEvent),
    /// Another session takes the place of this one.
    Open(Rc<Session>, Screen),
    /// The same, but only to look at, for this reason.
    OpenReadOnly(Rc<Session>, Screen, String),
    /// From now on the present one is only looked at, for this reason.
    MakeReadOnly(String),
}

/// What else is looked at.
#[derive(Clone, Debug)]
pub enum ViewChange {
    /// This screen.
    Screen(Screen),
    /// This trial.
    Trial(TrialId),
    /// This frame.
    Frame(u32),
    /// This landmark is next.
    Landmark(Option<Landmark>),
    /// Say this.
    Say(Notice),
    /// The notice is read.
    Dismiss(usize),
}

/// What the worker did.
#[derive(Clone, Debug)]
pub enum JobEvent {
    /// A file is being opened.
    Opening(String),
    /// The worker has this clip in hand.
    Opened(TrialId, String, String),
    /// The file of this name could not be opened.
    NotOpened(String),
    /// The worker let go of this clip.
    Closed(TrialId),
    /// The worker let go of every clip.
    AllClosed,
    /// A following began or is further.
    Following(Following),
    /// It ended.
    FollowingEnded,
    /// A following was tried out.
    TriedOut(TrialId, Tryout),
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

    /// The trial looked at: the chosen one, else the first.
    #[must_use]
    pub fn trial(&self) -> Option<&Rc<document::session::Trial>> {
        let session = self.session();
        self.view.trial.and_then(|id| session.trial(id)).or_else(|| session.trials.first())
    }

    fn carry_out(&mut self, command: &Command) {
        if let Some(reason) = self.view.read_only.clone() {
            return self.change_view(ViewChange::Say(Notice { problem: true, sentence: reason }));
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
            Err(error) => self
                .view
                .notices
                .push(Notice { problem: true, sentence: sentences::document::sentence(&error) }),
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
            ViewChange::Say(notice) => {
                self.view.notices.retain(|n| *n != notice);
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

    /// After a step back the trial or frame looked at may be gone.
    fn keep_view_valid(&mut self) {
        let last = self.trial().map(|t| t.clip.info.frame_count().saturating_sub(1));
        self.view.frame = self.view.frame.min(last.unwrap_or(0));
        if let Some(id) = self.view.trial
            && self.session().trial(id).is_none()
        {
            self.view.trial = self.session().trials.first().map(|t| t.id);
        }
    }

    fn job(&mut self, event: JobEvent) {
        match event {
            JobEvent::Opening(name) => self.jobs.opening.push(name),
            JobEvent::Opened(id, fingerprint, name) => {
                self.jobs.opening.retain(|n| *n != name);
                self.jobs.open.insert(id, fingerprint);
            }
            JobEvent::NotOpened(name) => self.jobs.opening.retain(|n| *n != name),
            JobEvent::Closed(id) => {
                self.jobs.open.remove(&id);
                self.jobs.tried.remove(&id);
            }
            JobEvent::AllClosed => self.jobs = Jobs::default(),
            JobEvent::Following(following) => self.jobs.following = Some(following),
            JobEvent::FollowingEnded => self.jobs.following = None,
            JobEvent::TriedOut(id, tryout) => {
                self.jobs.tried.insert(id, tryout);
            }
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
            Action::Job(event) => next.job(event),
            Action::Open(session, screen) => next.open(&session, screen),
            Action::OpenReadOnly(session, screen, reason) => {
                next.open(&session, screen);
                next.view.read_only = Some(reason);
            }
            Action::MakeReadOnly(reason) => {
                next.change_view(ViewChange::Say(Notice {
                    problem: true,
                    sentence: reason.clone(),
                }));
                next.view.read_only = Some(reason);
            }
        }
        Rc::new(next)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn name_it(store: Rc<Store>) -> Rc<Store> {
        store.reduce(Action::Do(Command::NameSession("Monday".into())))
    }

    #[test]
    fn a_session_that_is_only_shown_stays_as_it_is_and_the_reason_is_said() {
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
        let opened = JobEvent::Opened(TrialId(1), "f".into(), "low.mp4".into());
        let session = Rc::new(Session { name: "example".into(), ..Session::empty("a".into()) });
        let after = start.reduce(Action::Job(opened));
        let after = after.reduce(Action::Open(Rc::clone(&session), Screen::Step(Step::Markers)));
        assert!(after.jobs.open.contains_key(&TrialId(1)));
        assert!(!after.history.can_undo());
        assert_eq!(after.reduce(Action::Undo).session(), &session);
    }

    #[test]
    fn time_left_is_told_once_the_first_frames_are_behind() {
        assert_eq!(
            (left_s(2.0, 7, 600), left_s(0.5, 100, 600), left_s(5.0, 0, 0)),
            (None, None, None)
        );
        assert_eq!((left_s(2.0, 100, 600), left_s(6.0, 600, 600)), (Some(10.0), Some(0.0)));
    }

    #[test]
    fn a_session_that_is_opened_can_be_worked_on_even_after_one_that_was_only_shown() {
        let session = Rc::new(Session::empty("a".into()));
        let start = Rc::new(Store::new(Session::empty("b".into())));
        let shown =
            start.reduce(Action::OpenReadOnly(Rc::clone(&session), Screen::Home, "no".into()));
        let after = name_it(shown.reduce(Action::Open(session, Screen::Home)));
        assert_eq!(after.session().name, "Monday");
    }
}
