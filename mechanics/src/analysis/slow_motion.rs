//! Slow motion: the frame rate at which a clip was probably filmed, when its strides are too long for a runner.

use super::assemble::fall_m_s2;
use super::prepare::PreparedTrial;
use super::trial::Trial;
use super::validate::validate;
use crate::measures::energy::GRAVITY_M_S2;
use crate::measures::flight::{is_free_fall, other_rates_hz};
use std::collections::BTreeMap;

/// A frame rate at which a clip was probably filmed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlowMotion {
    /// The rate of the trial's times.
    pub rate_hz: f64,
    /// The rate at which it was probably filmed.
    pub filmed_hz: f64,
    /// Mean fall of the centre of mass in flight at that rate.
    pub fall_m_s2: f64,
}

/// Among the rates that cameras film at, the one at which the runner's fall in flight is closest to gravity; none if no
/// other rate gives two strides with a free fall.
///
/// For a trial with fewer than two strides: strides in slow motion last longer than a runner's, so that its flights are
/// found only once its times are corrected.
#[must_use]
pub fn detect_slow_motion(trial: &Trial) -> Option<SlowMotion> {
    validate(trial).ok()?;
    let rate_hz = PreparedTrial::new(trial, &BTreeMap::new()).ok()?.grid.rate_hz;
    let misfit = |s: &SlowMotion| (s.fall_m_s2 / GRAVITY_M_S2).ln().abs();
    other_rates_hz(rate_hz)
        .filter_map(|filmed_hz| {
            let fall_m_s2 = fall_m_s2(&with_times_scaled(trial, rate_hz / filmed_hz))?;
            Some(SlowMotion { rate_hz, filmed_hz, fall_m_s2 })
        })
        .filter(|s| is_free_fall(s.fall_m_s2))
        .min_by(|a, b| misfit(a).total_cmp(&misfit(b)))
}

/// The trial with its times scaled, and without edits to events, whose times would no longer fit.
fn with_times_scaled(trial: &Trial, ratio: f64) -> Trial {
    let times_s = trial.times_s.iter().map(|t| t * ratio).collect();
    Trial { times_s, event_edits: Vec::new(), ..trial.clone() }
}
