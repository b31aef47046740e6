//! The swinging leg: its moment of inertia about the hip, and the net moments that swing it.

use super::energy::GRAVITY_M_S2;
use super::motion::{Moment, StrideMotion};
use crate::body::{BodyModel, Landmark, Limb, Segment, SegmentMotion};
use nalgebra::Vector2;

/// Net moments at one moment, exerted on the distal segment, counter-clockwise. N m.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Moments {
    /// At the ankle, on the foot.
    pub ankle_n_m: f64,
    /// At the knee, on the shank.
    pub knee_n_m: f64,
    /// At the hip, on the thigh.
    pub hip_n_m: f64,
}

/// Work of a joint over the swing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct JointWork {
    /// Integral of the positive power. J.
    pub positive_j: f64,
    /// Integral of the negative power, a negative number. J.
    pub negative_j: f64,
}

fn leg<'a>(
    model: &'a BodyModel,
    moment: &'a Moment,
) -> impl Iterator<Item = (&'a Segment, &'a SegmentMotion)> {
    model.segments.iter().zip(&moment.segments).filter(|(s, _)| s.limb == Limb::NearLeg)
}

/// Moment of inertia of the near leg about the hip: `sum(I + m |r - r_hip|^2)`.
#[must_use]
pub fn leg_inertia_kg_m2(model: &BodyModel, moment: &Moment) -> f64 {
    let hip = moment.place(Landmark::NearHip).unwrap_or_default();
    leg(model, moment)
        .map(|(s, m)| s.inertia_kg_m2 + s.mass_kg * (m.centre.position_m - hip).norm_squared())
        .sum()
}

/// Mass of the near leg.
#[must_use]
pub fn leg_mass_kg(model: &BodyModel) -> f64 {
    model.segments.iter().filter(|s| s.limb == Limb::NearLeg).map(|s| s.mass_kg).sum()
}

/// What the proximal neighbour exerts on a segment at their joint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointLoad {
    /// Net force.
    pub force_n: Vector2<f64>,
    /// Net moment, counter-clockwise.
    pub moment_n_m: f64,
}

/// Loads of ankle, knee and hip of the near leg while nothing touches the foot, by Newton and Euler from the
/// foot up.
///
/// With F and M what the proximal neighbour exerts at the proximal joint p, and F', M' what this segment
/// exerts at the distal joint d: `F = m (a + g) + F'` and `M = I alpha + M' - (p - c) x F + (d - c) x F'`.
/// Source: Winter 2009, chapter 5 (link-segment model).
#[must_use]
pub fn free_leg_loads(model: &BodyModel, moment: &Moment) -> Option<[JointLoad; 3]> {
    let joint = |l: Landmark| moment.place(l);
    let joints =
        [joint(Landmark::NearAnkle)?, joint(Landmark::NearKnee)?, joint(Landmark::NearHip)?];
    let segments: Vec<(&Segment, &SegmentMotion)> = leg(model, moment).collect();
    let mut below = JointLoad { force_n: Vector2::zeros(), moment_n_m: 0.0 };
    let mut distal = None::<Vector2<f64>>;
    let mut found = [below; 3];
    // The model lists thigh, shank, foot.
    for ((place, proximal), (segment, motion)) in
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
        *place = JointLoad { force_n, moment_n_m };
        below = *place;
        distal = Some(proximal);
    }
    Some(found)
}

/// Net moments of the near leg while nothing touches the foot; see [`free_leg_loads`].
#[must_use]
pub fn free_leg_moments(model: &BodyModel, moment: &Moment) -> Option<Moments> {
    let [ankle, knee, hip] = free_leg_loads(model, moment)?.map(|load| load.moment_n_m);
    Some(Moments { ankle_n_m: ankle, knee_n_m: knee, hip_n_m: hip })
}

/// Net moments and powers of the joints at one moment of swing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct JointPowers {
    /// Moments.
    pub moments: Moments,
    /// Moment at the ankle times the foot's less the shank's angular velocity.
    pub ankle_w: f64,
    /// Moment at the knee times the shank's less the thigh's angular velocity.
    pub knee_w: f64,
    /// Moment at the hip times the thigh's less the trunk's angular velocity; without a trunk the thigh's alone.
    pub hip_w: f64,
}

/// Moments and powers of the near leg while nothing touches the foot; see [`free_leg_loads`].
#[must_use]
pub fn free_leg_powers(model: &BodyModel, moment: &Moment) -> Option<JointPowers> {
    let moments = free_leg_moments(model, moment)?;
    let mut turns = leg(model, moment).map(|(_, m)| m.angular_velocity_rad_s);
    let (thigh, shank, foot) = (turns.next()?, turns.next()?, turns.next()?);
    let trunk = model.segments.iter().zip(&moment.segments).find(|(s, _)| s.limb == Limb::Trunk);
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
    let step_s = stride.step_s();
    for moment in stride.moments.iter().skip(stride.toe_off() + 1) {
        let powers = free_leg_powers(model, moment)?;
        for (joint, power_w) in work.iter_mut().zip([powers.ankle_w, powers.knee_w, powers.hip_w]) {
            joint.positive_j += power_w.max(0.0) * step_s;
            joint.negative_j += power_w.min(0.0) * step_s;
        }
    }
    Some(work)
}
