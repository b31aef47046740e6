//! Angles, heights and distances of a stride.

use super::motion::{BodyState, StrideMotion};
use crate::landmark::Landmark;
use nalgebra::Vector2;

/// Knee flexion: angle from the thigh's to the shank's line; 0 is straight, flexion positive. rad.
#[must_use]
pub fn knee_flexion_rad(state: &BodyState) -> Option<f64> {
    let (hip, knee, ankle) = (
        state.position_m(Landmark::NearHip)?,
        state.position_m(Landmark::NearKnee)?,
        state.position_m(Landmark::NearAnkle)?,
    );
    Some(angle_between(ankle - knee, knee - hip))
}

/// Angle from the first to the second vector, counter-clockwise.
fn angle_between(from: Vector2<f64>, to: Vector2<f64>) -> f64 {
    from.perp(&to).atan2(from.dot(&to))
}

/// Angle of the thigh to the vertical, positive with the knee ahead of the hip. rad.
#[must_use]
pub fn thigh_angle_rad(state: &BodyState) -> Option<f64> {
    let thigh = state.position_m(Landmark::NearKnee)? - state.position_m(Landmark::NearHip)?;
    Some(thigh.x.atan2(-thigh.y))
}

fn height_m(landmark: Landmark) -> impl Fn(&BodyState) -> f64 {
    move |s| s.position_m(landmark).map_or(f64::NAN, |p| p.y)
}

fn least(values: &[f64]) -> Option<f64> {
    values.iter().copied().filter(|v| v.is_finite()).reduce(f64::min)
}

fn greatest(values: &[f64]) -> Option<f64> {
    values.iter().copied().filter(|v| v.is_finite()).reduce(f64::max)
}

/// Angles, heights and distances of one stride.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Posture {
    /// Greatest height of the heel in swing above its least height in contact. m.
    pub heel_lift_m: Option<f64>,
    /// Heel lift as a fraction of leg length.
    pub heel_lift_fraction: Option<f64>,
    /// Greatest knee flexion in swing. rad.
    pub peak_knee_flexion_rad: Option<f64>,
    /// Forward-most minus backward-most thigh angle. rad.
    pub thigh_range_rad: Option<f64>,
    /// Least height of the toe in the middle half of the swing above its least height in contact. m.
    pub toe_clearance_m: Option<f64>,
    /// Ankle ahead of the hip at contact. m.
    pub landing_ahead_of_hip_m: Option<f64>,
    /// Ankle ahead of the centre of mass at contact. m.
    pub landing_ahead_of_centre_m: Option<f64>,
    /// Highest minus lowest centre of mass. m.
    pub centre_rise_m: Option<f64>,
}

/// The posture of one stride.
#[must_use]
pub fn posture(stride: &StrideMotion, whole_body: bool) -> Posture {
    let toe_off = stride.toe_off();
    let heel = stride.series(height_m(Landmark::NearHeel));
    let toe = stride.series(height_m(Landmark::NearToe));
    let (contact, swing) = heel.split_at(toe_off + 1);
    let heel_level_m = least(contact);
    let toe_level_m = toe.get(..=toe_off).and_then(least);
    let heel_lift_m = greatest(swing).zip(heel_level_m).map(|(up, level)| up - level);
    let flexions: Vec<f64> =
        stride.samples.iter().skip(toe_off + 1).filter_map(knee_flexion_rad).collect();
    let thighs: Vec<f64> = stride.samples.iter().filter_map(thigh_angle_rad).collect();
    let quarter = (toe.len() - toe_off) / 4;
    let mid_swing = toe.get(toe_off + quarter..toe.len() - quarter).unwrap_or_default();
    let landing = stride.samples.first();
    let ankle = landing.and_then(|s| s.position_m(Landmark::NearAnkle));
    let ahead_of = |x: Option<f64>| ankle.zip(x).map(|(a, x)| a.x - x);
    let heights = stride.series(|s| s.centre.position_m.y);
    Posture {
        heel_lift_m,
        heel_lift_fraction: heel_lift_m.zip(leg_length_m(stride)).map(|(lift, leg)| lift / leg),
        peak_knee_flexion_rad: greatest(&flexions),
        thigh_range_rad: greatest(&thighs).zip(least(&thighs)).map(|(a, b)| a - b),
        toe_clearance_m: least(mid_swing).zip(toe_level_m).map(|(low, level)| low - level),
        landing_ahead_of_hip_m: ahead_of(
            landing.and_then(|s| s.position_m(Landmark::NearHip)).map(|h| h.x),
        ),
        landing_ahead_of_centre_m: ahead_of(
            landing.filter(|_| whole_body).map(|s| s.centre.position_m.x),
        ),
        centre_rise_m: greatest(&heights)
            .zip(least(&heights))
            .filter(|_| whole_body)
            .map(|(a, b)| a - b),
    }
}

/// Leg length in mid-contact: hip to knee, knee to ankle, and the ankle's height above the lower of heel and toe. m.
fn leg_length_m(stride: &StrideMotion) -> Option<f64> {
    let contact = stride.samples.get(..=stride.toe_off())?;
    let middle = contact.get(contact.len() / 2)?;
    let at = |l: Landmark| middle.position_m(l);
    let (hip, knee, ankle) =
        (at(Landmark::NearHip)?, at(Landmark::NearKnee)?, at(Landmark::NearAnkle)?);
    let sole = at(Landmark::NearHeel)?.y.min(at(Landmark::NearToe)?.y);
    let length_m = (knee - hip).norm() + (ankle - knee).norm() + (ankle.y - sole).max(0.0);
    (length_m > 0.0).then_some(length_m)
}
