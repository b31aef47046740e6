//! What the page displays, and how that changes.

use document::session::TrialId;
use mechanics::body::Landmark;

/// What is displayed.
#[derive(Clone, Debug, PartialEq)]
pub struct View {
    /// The screen.
    pub screen: Screen,
    /// The trial that the steps are about.
    pub trial: Option<TrialId>,
    /// The frame at rest; while a clip plays, only the stage knows it.
    pub frame: u32,
    /// The landmark that the next mark is for.
    pub landmark: Option<Landmark>,
    /// Notices, newest last.
    pub notices: Vec<Notice>,
    /// Why the session is read-only: neither changed nor saved. None if it can be changed.
    pub read_only: Option<String>,
}

/// A screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Screen {
    /// The first screen.
    Home,
    /// How to film, and the cautions.
    Guide,
    /// One step of the work on a trial, or the comparison of two trials.
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
    /// How do the two trials differ?
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

/// A notice to the person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// Whether something went wrong.
    pub problem: bool,
    /// The sentence.
    pub sentence: String,
    /// Whether it offers to load the page again.
    pub offers_reload: bool,
}

impl Notice {
    /// Something went wrong.
    #[must_use]
    pub fn problem(sentence: impl Into<String>) -> Self {
        Self { problem: true, sentence: sentence.into(), offers_reload: false }
    }

    /// Something to know.
    #[must_use]
    pub fn info(sentence: impl Into<String>) -> Self {
        Self { problem: false, ..Self::problem(sentence) }
    }

    /// Something went wrong that loading the page again may repair.
    #[must_use]
    pub fn with_reload(sentence: impl Into<String>) -> Self {
        Self { offers_reload: true, ..Self::problem(sentence) }
    }
}

/// A change of the view.
#[derive(Clone, Debug)]
pub enum ViewChange {
    /// Go to this screen.
    Screen(Screen),
    /// Go to this trial.
    Trial(TrialId),
    /// Go to this frame.
    Frame(u32),
    /// The next mark is for this landmark.
    Landmark(Option<Landmark>),
    /// Show this notice.
    Say(Notice),
    /// Close the notice with this index.
    Dismiss(usize),
}
