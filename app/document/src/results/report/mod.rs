//! The sentences and lines of the ledger: what was found, what was not, and what it does not mean.

mod difference;
mod explain;
mod fairness;
pub(super) mod labels;
mod ledger;
pub(super) mod phrases;

pub use difference::{
    DifferenceLine, difference_lines, difference_sentence, side_by_side_sentence, split_sentence,
};
pub use explain::{MonteCarloState, blend_sentence, bounds_sentence, split_table, spread_sentence};
pub use fairness::{FairnessLine, FairnessSummary, fairness_summary};
pub use labels::{LIMBS, SIGNS, label};
pub use ledger::{
    Ledger, LedgerLine, MeasureGroup, MeasureLine, headline, ledger, legs_table, measure_groups,
};
pub use phrases::{
    CAUTIONS, CheckLine, NOT_THIS, checks, definition, definition_of_pair, failed_checks, footnotes,
};
