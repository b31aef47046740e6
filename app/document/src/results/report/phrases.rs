//! Phrases beside every number: its definition, what it is not, and the cautions.

use super::fairness::as_sentence;
use crate::results::analyse::TrialAnalysis;
use crate::results::compare::TrialPair;
use crate::results::format::number;
use mechanics::Note;
use mechanics::analysis::Cutoff;
use mechanics::body::Table;
use std::collections::BTreeSet;

/// What the main number is not; shown beside it everywhere.
pub const NOT_THIS: &str = "This is the mechanical work of moving the limbs relative to the body. It is not oxygen \
    uptake and not running economy: studies have found no dependable relation between the two.";

/// Cautions to read before the numbers are used.
///
/// Source: the reviews named in the sentences; the wording is this project's.
pub const CAUTIONS: [&str; 7] = [
    "These are figures about movement. They are no medical advice, this is no medical device, and nothing here detects, \
        treats or predicts an injury.",
    "Stop when something hurts, or with dizziness or trouble in the chest, and see a clinician. After an injury or an \
        operation run for this only under a clinician's supervision.",
    "That changing form keeps uninjured runners from injury has not been shown (Souza 2016; Barton and others 2016).",
    "What is taken from one joint goes to another: landing on the forefoot, for one, asks more of calf and Achilles \
        tendon. Change one thing, a little, over weeks.",
    "Compare like with like: speed within 2 to 3 %, the same shoes, surface, slope, tiredness and camera place. \
        Belt and ground are not the same.",
    "On a belt: clip on the stop key, begin on the rails at the slowest speed, keep the space behind free, and run six \
        minutes before filming.",
    "Runners differ widely at one and the same speed: no number here is good or bad by itself.",
];

/// The name of a segment table.
#[must_use]
fn table_name(table: Table) -> &'static str {
    match table {
        Table::WinterDempster => "Winter 2009 after Dempster 1955",
        Table::DeLevaFemale => "de Leva 1996, women",
        Table::DeLevaMale => "de Leva 1996, men",
    }
}

/// The cut-offs that were used: `low-pass 8 Hz`, `low-pass 6 to 11 Hz, chosen marker by marker`.
#[must_use]
fn cutoff_phrase(trial: &TrialAnalysis) -> String {
    let used = || trial.analysis.cutoffs_hz.values().copied().filter(|f| f.is_finite());
    let low = used().fold(f64::INFINITY, f64::min);
    let high = used().fold(0.0, f64::max);
    let range = match (low.is_finite(), high - low < 0.05) {
        (false, _) => "low-pass cut-off not known".to_owned(),
        (true, true) => format!("low-pass {} Hz", number(low, 1)),
        (true, false) => format!("low-pass {} to {} Hz", number(low, 1), number(high, 1)),
    };
    match trial.trial.cutoff {
        Cutoff::Automatic => format!("{range}, chosen marker by marker from the residual"),
        Cutoff::Fixed { .. } => range,
    }
}

/// The definition that is printed with every number, because each part of it changes the number.
#[must_use]
pub fn definition(trial: &TrialAnalysis) -> String {
    format!(
        "Internal work: rises of kinetic energy relative to the centre of mass, passed on within a limb and not between \
        limbs (Willems 1995). Segments: {}. {}.",
        table_name(trial.trial.table),
        as_sentence(&cutoff_phrase(trial)).trim_end_matches('.')
    )
}

/// The definition of a comparison, whose trials share their cut-offs.
#[must_use]
pub fn definition_of_pair(pair: &TrialPair) -> String {
    let one = definition(&pair.first);
    match pair.first.trial.cutoff {
        Cutoff::Automatic => format!(
            "{} in each clip, the higher of both taken for both, so that a number here may differ a little from its own ledger's.",
            one.trim_end_matches('.')
        ),
        Cutoff::Fixed { .. } => one,
    }
}

/// Every caveat of the trials once, as sentences.
#[must_use]
pub fn footnotes(trials: &[&TrialAnalysis]) -> Vec<String> {
    let mut seen = BTreeSet::new();
    let notes = trials.iter().flat_map(|t| {
        let of_measures = t.analysis.measures.values().flat_map(|e| &e.notes);
        t.analysis.notes.iter().chain(of_measures)
    });
    let unique =
        notes.filter(|note: &&Note| seen.insert((note.key.clone(), note.sentence.clone())));
    unique.map(|note| as_sentence(&note.sentence)).collect()
}

/// The failed physical checks, each with what to do.
#[must_use]
pub fn failed_checks(trial: &TrialAnalysis) -> Vec<String> {
    let failed = trial.analysis.checks.iter().filter(|c| !c.holds);
    failed.map(|c| format!("{} {}", as_sentence(&c.found), as_sentence(&c.what_to_do))).collect()
}

/// One physical check as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CheckLine {
    /// Its name on screen.
    pub name: &'static str,
    /// Whether it holds.
    pub holds: bool,
    /// What was found, and what to do if it does not hold.
    pub text: String,
}

/// Every physical check, failed ones first.
#[must_use]
pub fn checks(trial: &TrialAnalysis) -> Vec<CheckLine> {
    let name = |key: &str| match key {
        "free_fall" => "Falls as a body must in flight",
        "momentum" => "Neither gains nor loses height over a stride",
        "plant_foot_speed" => "Planted foot goes with the belt",
        _ => "Segment keeps its length",
    };
    let line = |c: &mechanics::analysis::Check| CheckLine {
        name: name(&c.key),
        holds: c.holds,
        text: format!("{} {}", as_sentence(&c.found), as_sentence(&c.what_to_do)).trim().to_owned(),
    };
    let mut lines: Vec<CheckLine> = trial.analysis.checks.iter().map(line).collect();
    lines.sort_by_key(|l| l.holds);
    lines
}
