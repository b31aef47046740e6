//! The sentences and the lines of the ledger: what was found, what was not, and what it does not mean.

mod difference;
mod explain;
mod fair;
mod ledger;
mod words;

pub use difference::{
    DifferenceLine, difference_lines, difference_sentence, side_by_side_sentence, split_sentence,
};
pub use explain::{blend_sentence, bounds_sentence, split_table, spread_sentence};
pub use fair::{Fair, FairLine, fair};
pub use ledger::{
    Ledger, LedgerLine, MeasureGroup, MeasureLine, headline, ledger, legs_table, measure_groups,
};
pub use words::{
    CAUTIONS, CheckLine, NOT_THIS, checks, cutoff_words, definition, definition_of_pair,
    failed_checks, footnotes, table_name,
};

use super::analyse::Analysed;
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
