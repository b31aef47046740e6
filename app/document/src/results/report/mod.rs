//! The sentences and the lines of the ledger: what was found, what was not, and what it does not mean.

mod difference;
mod explain;
mod fairness;
mod ledger;
mod phrases;

pub use difference::{
    DifferenceLine, difference_lines, difference_sentence, side_by_side_sentence, split_sentence,
};
pub use explain::{Repeating, blend_sentence, bounds_sentence, split_table, spread_sentence};
pub use fairness::{Fair, FairLine, fair};
pub use ledger::{
    Ledger, LedgerLine, MeasureGroup, MeasureLine, headline, ledger, legs_table, measure_groups,
};
pub use phrases::{
    CAUTIONS, CheckLine, NOT_THIS, checks, cutoff_words, definition, definition_of_pair,
    failed_checks, footnotes, table_name,
};

use super::analyse::Analysed;
use super::measure::row;
use mechanics::body::MarkerSet;
use mechanics::measures::Measure;

/// The limbs of the ledger, from top to bottom; together they are the whole.
pub const LIMBS: [Measure; 5] = [
    Measure::NearLegWork,
    Measure::FarLegWork,
    Measure::NearArmWork,
    Measure::FarArmWork,
    Measure::TrunkWork,
];

/// The name of a measure, with a sign where it is not what was seen alone: a star for a far limb that was
/// mirrored, a dagger for what rests on one beside what was seen.
#[must_use]
pub fn name(trials: &[&Analysed], measure: Measure) -> String {
    let heading = row(measure).heading;
    let rests = |t: &&Analysed| {
        let notes = t.analysis.measures.get(&measure).map_or(&[][..], |e| e.notes.as_slice());
        notes.iter().any(|n| n.key.contains("mirror"))
    };
    if trials.iter().any(|t| is_mirrored(t, measure)) {
        format!("{heading} *")
    } else if trials.iter().any(rests) {
        format!("{heading} †")
    } else {
        heading.to_owned()
    }
}

/// What the signs behind names mean.
pub const SIGNS: &str = "* not marked: taken as the near one half a stride later, which holds only as far as \
    the runner is the same on both sides. † rests on such a far side too.";

/// Whether this measure of a far limb was not seen but taken from the near one, half a stride later.
#[must_use]
pub fn is_mirrored(trial: &Analysed, measure: Measure) -> bool {
    matches!(measure, Measure::FarLegWork | Measure::FarArmWork)
        && (trial.trial.marker_set != MarkerSet::BothSides
            || trial
                .analysis
                .measures
                .get(&measure)
                .is_some_and(|e| e.notes.iter().any(|n| n.key.contains("mirror"))))
}
