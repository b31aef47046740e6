//! Names of measures with their footnote marks.

use crate::results::analyse::TrialAnalysis;
use crate::results::measure::row;
use mechanics::body::MarkerSet;
use mechanics::measures::Measure;

/// The limbs of the ledger, from top to bottom; together they are the whole body.
pub const LIMBS: [Measure; 5] = [
    Measure::NearLegWork,
    Measure::FarLegWork,
    Measure::NearArmWork,
    Measure::FarArmWork,
    Measure::TrunkWork,
];

/// The name of a measure, with a mark if it is not measured directly: a star for a far limb that was mirrored, a dagger
/// for a measure that depends on one.
#[must_use]
pub fn label(trials: &[&TrialAnalysis], measure: Measure) -> String {
    let heading = row(measure).heading;
    let depends = |t: &&TrialAnalysis| {
        let notes = t.analysis.measures.get(&measure).map_or(&[][..], |e| e.notes.as_slice());
        notes.iter().any(|n| n.key.contains("mirror"))
    };
    if trials.iter().any(|t| is_mirrored(t, measure)) {
        format!("{heading} *")
    } else if trials.iter().any(depends) {
        format!("{heading} †")
    } else {
        heading.to_owned()
    }
}

/// The meaning of the marks.
pub const SIGNS: &str = "* not marked: taken as the near one half a stride later, which holds only as far as \
    the runner is the same on both sides. † rests on such a far side too.";

/// Whether this measure of a far limb was not measured but copied from the near one, half a stride later.
#[must_use]
fn is_mirrored(trial: &TrialAnalysis, measure: Measure) -> bool {
    matches!(measure, Measure::FarLegWork | Measure::FarArmWork)
        && (trial.trial.marker_set != MarkerSet::BothSides
            || trial
                .analysis
                .measures
                .get(&measure)
                .is_some_and(|e| e.notes.iter().any(|n| n.key.contains("mirror"))))
}
