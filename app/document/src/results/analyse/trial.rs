//! Analyses one trial of the session.

use super::plane::Plane;
use super::prepare::prepare;
use super::scale_check::scale_note;
use crate::results::input::AnalysisInput;
use crate::results::prerequisites::{self, Missing, Requirement};
use mechanics::analysis::{self, Analysis, SlowMotion};
use mechanics::gait::GaitEvent;

/// A trial with its numbers.
#[derive(Clone, Debug)]
pub struct TrialAnalysis {
    /// What the mechanics read.
    pub trial: analysis::Trial,
    /// What the mechanics computed, with the notes of the session's own checks.
    pub analysis: Analysis,
}

impl TrialAnalysis {
    /// An analysis with the note of the scale check, if it has one to add.
    #[must_use]
    pub fn new(trial: analysis::Trial, mut analysis: Analysis) -> Self {
        analysis.notes.extend(scale_note(&trial));
        Self { trial, analysis }
    }
}

/// Why a trial has no numbers yet.
#[derive(Clone, Debug)]
pub struct Incomplete {
    /// What is missing or wrong, never empty.
    pub missing: Vec<Missing>,
    /// Events that were detected all the same, so that they can be shown and moved.
    pub events: Vec<GaitEvent>,
}

impl Incomplete {
    fn before_events(missing: Vec<Missing>) -> Self {
        Self { missing, events: Vec::new() }
    }
}

/// A trial's numbers, or what is missing.
pub type TrialResult = Result<TrialAnalysis, Incomplete>;

/// Analyses a trial of the session.
///
/// # Errors
/// When something is missing or impossible; each with the step in which to correct it.
pub fn analyse_trial(input: &AnalysisInput) -> TrialResult {
    let missing = prerequisites::find(input);
    let plane = Plane::of(&input.calibration, input.camera.as_deref());
    let (Some(plane), true) = (plane, missing.is_empty()) else {
        return Err(Incomplete::before_events(missing));
    };
    let refused = |error| Incomplete::before_events(vec![prerequisites::of_error(&error)]);
    let trial = prepare(input, &plane.map_err(refused)?);
    let analysis = analysis::analyse(&trial).map_err(refused)?;
    if analysis.strides.len() < 2 {
        let missing = match analysis::detect_slow_motion(&trial) {
            Some(found) => Missing::new(Requirement::FilmedRate, slow_motion_sentence(&found)),
            None => Missing::new(Requirement::Strides, too_few_strides(&analysis)),
        };
        return Err(Incomplete { missing: vec![missing], events: analysis.events });
    }
    Ok(TrialAnalysis::new(trial, analysis))
}

fn slow_motion_sentence(found: &SlowMotion) -> String {
    let SlowMotion { rate_hz, filmed_hz, fall_m_s2 } = found;
    format!(
        "at {rate_hz:.0} frames/s there are no two strides of a runner, and at {filmed_hz:.0} there are: the body then falls \
         with {fall_m_s2:.1} m/s² in flight (9.81 is expected). If it was filmed in slow motion, enter {filmed_hz:.0} as \
         the filmed rate"
    )
}

fn too_few_strides(analysis: &Analysis) -> String {
    let found = match analysis.strides.len() {
        0 => "no stride can be used",
        _ => "only one stride can be used",
    };
    let why = analysis.excluded.first().map_or(String::new(), |l| {
        let reason = l.reason.sentence.trim_end_matches('.');
        format!(", one of those left out for this reason: {reason}")
    });
    format!(
        "{found}{why}. At least two are needed: add or move contacts, or follow more of the clip"
    )
}
