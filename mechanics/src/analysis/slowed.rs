//! A trial whose strides are none of a runner at the rate it has: at which other rate they would be.

use super::{Trial, assemble, prepare};
use crate::measures::checks;
use crate::measures::energy::GRAVITY_M_S2;
use std::collections::BTreeMap;

/// A rate at which a clip may have been filmed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OtherRate {
    /// The rate the trial has.
    pub rate_hz: f64,
    /// The rate it may have been filmed at.
    pub filmed_hz: f64,
    /// With what the centre of mass would then fall in flight.
    pub fall_m_s2: f64,
}

/// The rate, among those that cameras film at, at which the runner falls in flight most nearly as a body must; none where
/// at no other rate two strides are found in which that holds. For a trial with fewer than two strides: one in slow
/// motion has strides that last longer than a runner's, so that its flights are found only when its times are put right.
#[must_use]
pub fn other_rate(trial: &Trial) -> Option<OtherRate> {
    prepare::check(trial).ok()?;
    let rate_hz = prepare::Prepared::new(trial, &BTreeMap::new()).ok()?.grid.rate_hz;
    let misfit = |o: &OtherRate| (o.fall_m_s2 / GRAVITY_M_S2).ln().abs();
    checks::other_rates_hz(rate_hz)
        .filter_map(|filmed_hz| {
            let fall_m_s2 = assemble::fall_m_s2(&at_rate(trial, rate_hz / filmed_hz))?;
            Some(OtherRate { rate_hz, filmed_hz, fall_m_s2 })
        })
        .filter(|o| checks::is_free_fall(o.fall_m_s2))
        .min_by(|a, b| misfit(a).total_cmp(&misfit(b)))
}

/// The trial with its times in this ratio, and without what a person changed about events at the times it has.
fn at_rate(trial: &Trial, ratio: f64) -> Trial {
    let times_s = trial.times_s.iter().map(|t| t * ratio).collect();
    Trial { times_s, event_edits: Vec::new(), ..trial.clone() }
}
