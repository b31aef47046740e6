//! The swinging leg: its moment of inertia about the hip, and the net joint moments that swing it.

use super::energy::GRAVITY_M_S2;
use super::motion::{BodyState, StrideMotion};
use crate::body::{BodyModel, Limb, Segment, SegmentMotion};
use crate::landmark::Landmark;
use nalgebra::Vector2;

/// Net moments of the joints in one body state, exerted on the distal segment, counter-clockwise. N m.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct JointMoments {
    /// At the ankle, on the foot.
    pub ankle_n_m: f64,
    /// At the knee, on the shank.
    pub knee_n_m: f64,
    /// At the hip, on the thigh.
    pub hip_n_m: f64,
}

/// Work at a joint over the swing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct JointWork {
    /// Integral of the positive power. J.
    pub positive_j: f64,
    /// Integral of the negative power, a negative number. J.
    pub negative_j: f64,
}

fn leg<'a>(
    model: &'a BodyModel,
    state: &'a BodyState,
) -> impl Iterator<Item = (&'a Segment, &'a SegmentMotion)> {
    model.segments.iter().zip(&state.segments).filter(|(s, _)| s.limb == Limb::NearLeg)
}

/// Moment of inertia of the near leg about the hip: `sum(I + m |r - r_hip|^2)`.
#[must_use]
pub fn leg_inertia_kg_m2(model: &BodyModel, state: &BodyState) -> f64 {
    let hip = state.position_m(Landmark::NearHip).unwrap_or_default();
    leg(model, state)
        .map(|(s, m)| s.inertia_kg_m2 + s.mass_kg * (m.centre.position_m - hip).norm_squared())
        .sum()
}

/// Mass of the near leg.
#[must_use]
pub fn leg_mass_kg(model: &BodyModel) -> f64 {
    model.segments.iter().filter(|s| s.limb == Limb::NearLeg).map(|s| s.mass_kg).sum()
}

/// The load that the proximal neighbour exerts on a segment at their joint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointLoad {
    /// Net force.
    pub force_n: Vector2<f64>,
    /// Net moment, counter-clockwise.
    pub moment_n_m: f64,
}

/// Loads of ankle, knee and hip of the near leg while nothing touches the foot, by the Newton-Euler equations from
/// the foot up.
///
/// Force F and moment M act at the proximal joint p; F' and M' are those that this segment exerts at its distal joint d;
/// c is its centre of mass: `F = m (a + g) + F'` and `M = I alpha + M' - (p - c) x F + (d - c) x F'`.
/// Source: Winter 2009, chapter 5 (link-segment model).
#[must_use]
pub fn free_leg_loads(model: &BodyModel, state: &BodyState) -> Option<[JointLoad; 3]> {
    let joint = |l: Landmark| state.position_m(l);
    let joints =
        [joint(Landmark::NearAnkle)?, joint(Landmark::NearKnee)?, joint(Landmark::NearHip)?];
    let segments: Vec<(&Segment, &SegmentMotion)> = leg(model, state).collect();
    let mut below = JointLoad { force_n: Vector2::zeros(), moment_n_m: 0.0 };
    let mut distal = None::<Vector2<f64>>;
    let mut found = [below; 3];
    // The model lists thigh, shank, foot.
    for ((load, proximal), (segment, motion)) in
        found.iter_mut().zip(joints).zip(segments.into_iter().rev())
    {
        let centre = motion.centre.position_m;
        let lever_below = distal.map_or(0.0, |d| (d - centre).perp(&below.force_n));
        let force_n = segment.mass_kg
            * (motion.centre.acceleration_m_s2 + Vector2::new(0.0, GRAVITY_M_S2))
            + below.force_n;
        let moment_n_m = segment.inertia_kg_m2 * motion.angular_acceleration_rad_s2
            + below.moment_n_m
            - (proximal - centre).perp(&force_n)
            + lever_below;
        *load = JointLoad { force_n, moment_n_m };
        below = *load;
        distal = Some(proximal);
    }
    Some(found)
}

/// Net moments of the near leg while nothing touches the foot; see [`free_leg_loads`].
#[must_use]
pub fn free_leg_moments(model: &BodyModel, state: &BodyState) -> Option<JointMoments> {
    let [ankle, knee, hip] = free_leg_loads(model, state)?.map(|load| load.moment_n_m);
    Some(JointMoments { ankle_n_m: ankle, knee_n_m: knee, hip_n_m: hip })
}

/// Net moments and powers of the joints in one body state of the swing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct JointPowers {
    /// Net moments.
    pub moments: JointMoments,
    /// Ankle: moment times the angular velocity of foot minus shank.
    pub ankle_w: f64,
    /// Knee: moment times the angular velocity of shank minus thigh.
    pub knee_w: f64,
    /// Hip: moment times the angular velocity of thigh minus trunk; without a trunk, of the thigh alone.
    pub hip_w: f64,
}

/// Moments and powers of the near leg while nothing touches the foot; see [`free_leg_loads`].
#[must_use]
pub fn free_leg_powers(model: &BodyModel, state: &BodyState) -> Option<JointPowers> {
    let moments = free_leg_moments(model, state)?;
    let mut rates = leg(model, state).map(|(_, m)| m.angular_velocity_rad_s);
    let (thigh, shank, foot) = (rates.next()?, rates.next()?, rates.next()?);
    let trunk = model.segments.iter().zip(&state.segments).find(|(s, _)| s.limb == Limb::Trunk);
    let trunk = trunk.map_or(0.0, |(_, m)| m.angular_velocity_rad_s);
    Some(JointPowers {
        moments,
        ankle_w: moments.ankle_n_m * (foot - shank),
        knee_w: moments.knee_n_m * (shank - thigh),
        hip_w: moments.hip_n_m * (thigh - trunk),
    })
}

/// Work at ankle, knee and hip over the swing of a stride: the integral of the power. The hip's needs the trunk.
#[must_use]
pub fn swing_work(model: &BodyModel, stride: &StrideMotion) -> Option<[JointWork; 3]> {
    let mut work = [JointWork::default(); 3];
    let interval_s = stride.sample_interval_s();
    for state in stride.samples.iter().skip(stride.toe_off() + 1) {
        let powers = free_leg_powers(model, state)?;
        for (joint, power_w) in work.iter_mut().zip([powers.ankle_w, powers.knee_w, powers.hip_w]) {
            joint.positive_j += power_w.max(0.0) * interval_s;
            joint.negative_j += power_w.min(0.0) * interval_s;
        }
    }
    Some(work)
}
