//! How much the internal work of a stride hangs on a landmark in doubt for a while.

use super::{Analysis, Motion};
use crate::body::Landmark;
use crate::measures::energy::stride_work;
use crate::measures::motion::{MOMENTS, StrideMotion};
use nalgebra::Vector2;
use std::f64::consts::PI;

/// A landmark that may be off its place for a while.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Astray {
    /// Which.
    pub landmark: Landmark,
    /// From when on.
    pub from_s: f64,
    /// Until when.
    pub to_s: f64,
    /// How far off it may be, in the middle of that time.
    pub off_m: f64,
}

/// What hangs on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AtStake {
    /// A stride that is left out in this time.
    Stride,
    /// So much of the mean internal work of a stride, one way or the other. J.
    Work(f64),
}

/// What hangs on a landmark that may be astray: a stride that is left out while it is, or else the change of the mean
/// internal work of a stride if it is off along x and along y in turn (root sum of squares).
///
/// The landmark leaves its place and comes back as `off sin^2(pi (t - from) / (to - from))`, with the velocity that goes
/// with it. It comes out of its low-pass wider and as much lower. With a mirrored far side the far limb errs as the near one does: twice the change.
#[must_use]
pub fn at_stake(analysis: &Analysis, astray: Astray) -> AtStake {
    let (from_s, to_s) = (astray.from_s, astray.to_s);
    if analysis.left_out.iter().any(|l| l.start_s < to_s && from_s < l.end_s) {
        return AtStake::Stride;
    }
    let cutoff_hz = analysis.cutoffs_hz.get(&astray.landmark).copied().unwrap_or(f64::INFINITY);
    let length_s = (to_s - from_s).max(1.0 / analysis.rate_hz);
    let wide_s = length_s.hypot(WIDENED_PERIODS / cutoff_hz);
    let bump = Bump {
        middle_s: f64::midpoint(from_s, to_s),
        wide_s,
        off_m: astray.off_m * length_s / wide_s,
    };
    let motion = &*analysis.motion;
    let along = |axis: Vector2<f64>| -> f64 {
        motion.near.iter().map(|s| change_j(motion, s, astray.landmark, &bump, axis)).sum()
    };
    let sides = if motion.mirrored && astray.landmark != Landmark::Head { 2.0 } else { 1.0 };
    let all_j = along(Vector2::x()).hypot(along(Vector2::y()));
    AtStake::Work(sides * all_j / motion.near.len().max(1) as f64)
}

/// How much wider a short change comes out of the low-pass, in periods of its cut-off, as the root of the difference of
/// squares. Chosen: what hangs on a landmark is then within a third of what the whole way from positions gives.
const WIDENED_PERIODS: f64 = 0.7;

struct Bump {
    middle_s: f64,
    wide_s: f64,
    off_m: f64,
}

impl Bump {
    /// How far off, and how fast, at a time.
    fn at(&self, time_s: f64) -> Option<(f64, f64)> {
        let part = (time_s - self.middle_s) / self.wide_s + 0.5;
        let off_m = self.off_m * (PI * part).sin().powi(2);
        let speed_m_s = self.off_m * PI / self.wide_s * (2.0 * PI * part).sin();
        (0.0..=1.0).contains(&part).then_some((off_m, speed_m_s))
    }
}

/// Size of the change of one stride's internal work; none where the stride is at another time.
fn change_j(
    motion: &Motion,
    stride: &StrideMotion,
    landmark: Landmark,
    bump: &Bump,
    axis: Vector2<f64>,
) -> f64 {
    let half_s = bump.wide_s / 2.0;
    let (start_s, end_s) = (stride.stride.start_s, stride.stride.end_s);
    if bump.middle_s + half_s < start_s || bump.middle_s - half_s > end_s {
        return 0.0;
    }
    let mut moved = stride.clone();
    for (i, moment) in moved.moments.iter_mut().enumerate() {
        let time_s = start_s + (end_s - start_s) * i as f64 / (MOMENTS - 1) as f64;
        let known = (bump.at(time_s), moment.landmarks.get(landmark).copied());
        let (Some((off_m, speed_m_s)), Some(mut state)) = known else { continue };
        state.position_m += off_m * axis;
        state.velocity_m_s += speed_m_s * axis;
        moment.landmarks.set(landmark, state);
        if moment.refresh(&motion.model).is_err() {
            return 0.0;
        }
    }
    let work_j = |s: &StrideMotion| stride_work(&motion.model, s).internal_j;
    (work_j(&moved) - work_j(stride)).abs()
}
