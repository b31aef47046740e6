//! The same cut-offs for both trials of a comparison.

use super::analysed_trial::AnalysedTrial;
use crate::analysis::{Analysis, analyse_with};
use crate::error::Error;
use crate::landmark::Landmark;
use std::collections::BTreeMap;

/// One cut-off per landmark for both trials: the higher of the two, which removes nothing from either that its own
/// cut-off would leave. Empty if they are equal already.
fn shared_cutoffs_hz(first: &Analysis, second: &Analysis) -> BTreeMap<Landmark, f64> {
    let (a, b) = (&first.cutoffs_hz, &second.cutoffs_hz);
    if a.iter().all(|(l, hz)| b.get(l).is_none_or(|other| other == hz)) {
        return BTreeMap::new();
    }
    a.iter().filter_map(|(l, hz)| Some((*l, hz.max(*b.get(l)?)))).collect()
}

/// Both trials analysed again with the same cut-offs; none if they have them already.
///
/// # Errors
/// As for [`analyse_with`].
pub fn with_shared_cutoffs(
    first: AnalysedTrial<'_>,
    second: AnalysedTrial<'_>,
) -> Result<Option<(Analysis, Analysis)>, Error> {
    let cutoffs_hz = shared_cutoffs_hz(first.analysis, second.analysis);
    if cutoffs_hz.is_empty() {
        return Ok(None);
    }
    let analyse_again = |AnalysedTrial { trial, analysis: before }: AnalysedTrial<'_>| {
        let mut analysis = analyse_with(trial, &cutoffs_hz)?;
        analysis.residuals = before.residuals.clone();
        Ok(analysis)
    };
    Ok(Some((analyse_again(first)?, analyse_again(second)?)))
}
