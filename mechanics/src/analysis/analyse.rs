//! The way from a trial to its analysis.

use super::assemble::assemble;
use super::prepare::PreparedTrial;
use super::result::Analysis;
use super::trial::Trial;
use super::validate::validate;
use crate::error::Error;
use crate::landmark::Landmark;
use crate::limits::CUTOFF;
use std::collections::BTreeMap;

/// Analyses a trial.
///
/// Positions → even grid, short gaps filled → low-pass → events → strides → measures, curves, checks.
///
/// # Errors
/// If mass, height, speed, cut-off, times or positions are not valid; see [`Error`]. Too few strides are not an error:
/// the analysis then has events and excluded strides, and no measures.
pub fn analyse(trial: &Trial) -> Result<Analysis, Error> {
    analyse_with(trial, &BTreeMap::new())
}

/// Analyses a trial with these cut-offs; a landmark that is not among them gets its own.
///
/// # Errors
/// As for [`analyse`]; also [`Error::Cutoff`] for a cut-off outside [`CUTOFF`].
pub fn analyse_with(
    trial: &Trial,
    cutoffs_hz: &BTreeMap<Landmark, f64>,
) -> Result<Analysis, Error> {
    validate(trial)?;
    if let Some(cutoff_hz) = cutoffs_hz.values().copied().find(|hz| !CUTOFF.contains(*hz)) {
        return Err(Error::Cutoff { cutoff_hz });
    }
    let prepared = PreparedTrial::new(trial, cutoffs_hz)?;
    Ok(assemble(trial, prepared))
}
