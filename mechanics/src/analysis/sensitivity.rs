//! Sensitivity of the internal work of a stride to a landmark that may be displaced for a while.

use super::result::{Analysis, Motion};
use crate::landmark::Landmark;
use crate::measures::energy::stride_work;
use crate::measures::motion::{SAMPLES, StrideMotion};
use nalgebra::Vector2;
use std::f64::consts::PI;

/// A landmark that may be off its true position for a while.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Displacement {
    /// The landmark.
    pub landmark: Landmark,
    /// Start of the displacement.
    pub from_s: f64,
    /// End of the displacement.
    pub to_s: f64,
    /// Its size in the middle of that time.
    pub peak_m: f64,
}

/// The effect of a displacement on the result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sensitivity {
    /// A stride is excluded in that time.
    ExcludedStride,
    /// The mean internal work of a stride changes by up to this much, in either direction. J.
    WorkChange(f64),
}

/// Sensitivity of the result to a displaced landmark: a stride that is excluded in that time, or else the change of the
/// mean internal work of a stride for a displacement along x and along y in turn (root sum of squares).
///
/// The landmark leaves its position and returns as `peak sin^2(pi (t - from) / (to - from))`, with the velocity that
/// follows. The low-pass makes this bump wider, and lower in the same ratio. With a mirrored far side the far limb errs
/// as the near one does: twice the change.
#[must_use]
pub fn sensitivity(analysis: &Analysis, displacement: Displacement) -> Sensitivity {
    let Displacement { landmark, from_s, to_s, peak_m } = displacement;
    if analysis.excluded.iter().any(|s| s.start_s < to_s && from_s < s.end_s) {
        return Sensitivity::ExcludedStride;
    }
    let cutoff_hz = analysis.cutoffs_hz.get(&landmark).copied().unwrap_or(f64::INFINITY);
    let length_s = (to_s - from_s).max(1.0 / analysis.rate_hz);
    let width_s = length_s.hypot(WIDENING_PERIODS / cutoff_hz);
    let bump = Bump {
        landmark,
        middle_s: f64::midpoint(from_s, to_s),
        width_s,
        peak_m: peak_m * length_s / width_s,
    };
    let motion = &*analysis.motion;
    let along = |axis: Vector2<f64>| -> f64 {
        motion.near.iter().map(|stride| work_change_j(motion, stride, &bump, axis)).sum()
    };
    let sides = if motion.mirrored && landmark != Landmark::Head { 2.0 } else { 1.0 };
    let all_j = along(Vector2::x()).hypot(along(Vector2::y()));
    Sensitivity::WorkChange(sides * all_j / motion.near.len().max(1) as f64)
}

/// Widening of a short bump by the low-pass, in periods of its cut-off: root of the difference of squared widths.
/// Chosen: the sensitivity is then within a third of the change that a whole analysis from positions gives.
const WIDENING_PERIODS: f64 = 0.7;

/// A filtered displacement.
struct Bump {
    landmark: Landmark,
    middle_s: f64,
    width_s: f64,
    peak_m: f64,
}

impl Bump {
    /// Displacement and its speed at a time; none outside the bump.
    fn at(&self, time_s: f64) -> Option<(f64, f64)> {
        let part = (time_s - self.middle_s) / self.width_s + 0.5;
        let off_m = self.peak_m * (PI * part).sin().powi(2);
        let speed_m_s = self.peak_m * PI / self.width_s * (2.0 * PI * part).sin();
        (0.0..=1.0).contains(&part).then_some((off_m, speed_m_s))
    }
}

/// Size of the change of one stride's internal work; 0 if the stride lies outside the bump.
fn work_change_j(motion: &Motion, stride: &StrideMotion, bump: &Bump, axis: Vector2<f64>) -> f64 {
    let half_s = bump.width_s / 2.0;
    let (start_s, end_s) = (stride.stride.start_s, stride.stride.end_s);
    if bump.middle_s + half_s < start_s || bump.middle_s - half_s > end_s {
        return 0.0;
    }
    let mut displaced = stride.clone();
    for (i, sample) in displaced.samples.iter_mut().enumerate() {
        let time_s = start_s + (end_s - start_s) * i as f64 / (SAMPLES - 1) as f64;
        let known = (bump.at(time_s), sample.landmarks.get(bump.landmark).copied());
        let (Some((off_m, speed_m_s)), Some(mut state)) = known else { continue };
        state.position_m += off_m * axis;
        state.velocity_m_s += speed_m_s * axis;
        sample.landmarks.set(bump.landmark, state);
        if sample.refresh(&motion.model).is_err() {
            return 0.0;
        }
    }
    let work_j = |s: &StrideMotion| stride_work(&motion.model, s).internal_j;
    (work_j(&displaced) - work_j(stride)).abs()
}
