//! Numbers on the screens Ledger and Side by side.

/// The caption of the ledger.
#[must_use]
pub fn ledger_caption(unit: &str) -> String {
    format!("A stride costs, {unit} (mean ± SD)")
}

/// How many of the physical checks hold.
#[must_use]
pub fn checks(holding: usize, count: usize) -> String {
    format!("Physical checks: {holding} of {count} hold")
}

/// Whether a check or a condition holds.
#[must_use]
pub fn verdict(name: &str, holds: bool) -> String {
    if holds { format!("{name}: holds. ") } else { format!("{name}: does not hold. ") }
}

/// An interval by its two ends; a dash if it is not known.
#[must_use]
pub fn interval(ends: Option<&(String, String)>) -> String {
    ends.map_or_else(|| "—".to_owned(), |(low, high)| format!("{low} to {high}"))
}

/// How a cut-off frequency is chosen.
pub const CUTOFF_METHOD: &str = "A line through the straight part at the right shows the noise; the cut-off is where the low-pass takes away no more than that \
    and a millimetre, between 5 and 12 Hz.";
