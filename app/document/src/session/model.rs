//! A session: runner, trials, options and notes.

use super::trial::{Trial, TrialId, Unknown};
use mechanics::body::Table;
use serde::{Deserialize, Serialize};
use std::rc::Rc;

/// One sitting with one runner.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Session {
    /// Random identifier under which it is saved.
    pub id: String,
    /// What a person calls it.
    pub name: String,
    /// The runner.
    pub runner: Runner,
    /// The ways of running, in the order they were opened; the first two are compared.
    pub trials: Vec<Rc<Trial>>,
    /// How the numbers are computed.
    pub options: Options,
    /// Free text.
    pub notes: String,
    /// Members written by another version.
    #[serde(flatten)]
    pub unknown: Unknown,
}

/// The runner.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Runner {
    /// A name or a code.
    pub label: String,
    /// Body mass; none until entered.
    pub mass_kg: Option<f64>,
    /// Body height; none until entered.
    pub height_m: Option<f64>,
    /// Segment table.
    pub table: Table,
}

/// How the numbers are computed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Options {
    /// Low-pass cut-off.
    pub cutoff: CutoffChoice,
}

/// How the low-pass cut-off is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "choice", rename_all = "snake_case")]
pub enum CutoffChoice {
    /// By residual analysis, marker by marker.
    Automatic,
    /// The same for every marker.
    Fixed {
        /// Cut-off of the zero-lag filter as a whole.
        cutoff_hz: f64,
    },
}

impl Session {
    /// An empty session.
    #[must_use]
    pub fn empty(id: String) -> Self {
        Self {
            id,
            name: String::new(),
            runner: Runner {
                label: String::new(),
                mass_kg: None,
                height_m: None,
                table: Table::WinterDempster,
            },
            trials: Vec::new(),
            options: Options { cutoff: CutoffChoice::Automatic },
            notes: String::new(),
            unknown: Unknown::new(),
        }
    }

    /// An identifier for the next trial: one more than the highest, or, if a file used the very highest, the lowest
    /// free one.
    #[must_use]
    pub fn next_trial_id(&self) -> TrialId {
        let highest = self.trials.iter().map(|t| t.id.0).max().unwrap_or(0);
        let free = |n: &u32| self.trial(TrialId(*n)).is_none();
        TrialId(highest.checked_add(1).or_else(|| (1..u32::MAX).find(free)).unwrap_or(0))
    }

    /// The trial with this identifier.
    #[must_use]
    pub fn trial(&self, id: TrialId) -> Option<&Rc<Trial>> {
        self.trials.iter().find(|t| t.id == id)
    }
}
