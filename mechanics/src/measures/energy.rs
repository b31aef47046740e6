//! Kinetic energy of the segments relative to the centre of mass, and the work that it takes.

use super::motion::{LIMBS, Moment, StrideMotion};
use crate::body::{BodyModel, Landmark, Limb};

/// Standard gravity. Exact: 9.80665 by definition; 9.81 as the textbooks round it.
pub const GRAVITY_M_S2: f64 = 9.81;

/// The work of one stride, and where it goes.
#[derive(Clone, Debug, PartialEq)]
pub struct StrideWork {
    /// Within-limb transfer: sum over limbs of the positive increments of each limb's energy. J.
    pub internal_j: f64,
    /// The same by limb, in the order of `LIMBS`; none for limbs that the model does not have.
    pub by_limb_j: [Option<f64>; 5],
    /// Nothing is transferred: positive increments of each segment's two energies. J.
    pub no_transfer_j: f64,
    /// Everything is transferred: positive increments of the sum. J.
    pub full_transfer_j: f64,
    /// The translational part of `internal_j`.
    pub translational_j: f64,
    /// The rotational part of `internal_j`.
    pub rotational_j: f64,
    /// The near leg's, while its centre moves forward relative to the hip.
    pub forward_swing_j: f64,
    /// The near leg's, while its centre moves backward relative to the hip.
    pub backward_swing_j: f64,
}

/// Translational and rotational energy of one segment at one moment, relative to the reference.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Energy {
    translational_j: f64,
    rotational_j: f64,
}

impl Energy {
    fn total_j(self) -> f64 {
        self.translational_j + self.rotational_j
    }
}

/// Energies of all segments: `1/2 m |v - V|^2` and `1/2 I w^2`.
///
/// V is the velocity of the centre of mass; for the legs alone that of the mid-hip.
/// Source: Fenn 1930; Cavagna and Kaneko 1977, J Physiol 268:467-481 (König's theorem).
fn energies(model: &BodyModel, moment: &Moment) -> Vec<Energy> {
    let reference = if model.whole_body { moment.centre } else { moment.mid_hip };
    let of = |(segment, motion): (&crate::body::Segment, &crate::body::SegmentMotion)| Energy {
        translational_j: 0.5
            * segment.mass_kg
            * (motion.centre.velocity_m_s - reference.velocity_m_s).norm_squared(),
        rotational_j: 0.5 * segment.inertia_kg_m2 * motion.angular_velocity_rad_s.powi(2),
    };
    model.segments.iter().zip(&moment.segments).map(of).collect()
}

fn sum_of(model: &BodyModel, energies: &[Energy], limb: Limb) -> Energy {
    model.segments.iter().zip(energies).filter(|(s, _)| s.limb == limb).fold(
        Energy::default(),
        |sum, (_, e)| Energy {
            translational_j: sum.translational_j + e.translational_j,
            rotational_j: sum.rotational_j + e.rotational_j,
        },
    )
}

/// The internal work of a stride.
///
/// Source: Willems, Cavagna and Heglund 1995, J Exp Biol 198:379-393 (transfer within a limb, not between limbs).
#[must_use]
pub fn stride_work(model: &BodyModel, stride: &StrideMotion) -> StrideWork {
    let energies: Vec<Vec<Energy>> = stride.series(|m| energies(model, m));
    let mut work = StrideWork {
        internal_j: 0.0,
        by_limb_j: [None; 5],
        no_transfer_j: 0.0,
        full_transfer_j: 0.0,
        translational_j: 0.0,
        rotational_j: 0.0,
        forward_swing_j: 0.0,
        backward_swing_j: 0.0,
    };
    for (limb, place) in LIMBS.into_iter().zip(&mut work.by_limb_j) {
        if !model.segments.iter().any(|s| s.limb == limb) {
            continue;
        }
        let of_limb: Vec<Energy> = energies.iter().map(|e| sum_of(model, e, limb)).collect();
        let mut limb_j = 0.0;
        for ((before, after), forward) in
            of_limb.iter().zip(of_limb.iter().skip(1)).zip(goes_forward(model, stride))
        {
            let gain_j = after.total_j() - before.total_j();
            if gain_j <= 0.0 {
                continue;
            }
            limb_j += gain_j;
            work.translational_j += after.translational_j - before.translational_j;
            work.rotational_j += after.rotational_j - before.rotational_j;
            if limb == Limb::NearLeg {
                *(if forward { &mut work.forward_swing_j } else { &mut work.backward_swing_j }) +=
                    gain_j;
            }
        }
        work.internal_j += limb_j;
        *place = Some(limb_j);
    }
    for segment in 0..model.segments.len() {
        let part = |f: fn(&Energy) -> f64| -> Vec<f64> {
            energies.iter().filter_map(|e| e.get(segment)).map(f).collect()
        };
        work.no_transfer_j += positive_increments(&part(|e| e.translational_j))
            + positive_increments(&part(|e| e.rotational_j));
    }
    let all: Vec<f64> = energies.iter().map(|e| e.iter().map(|e| e.total_j()).sum()).collect();
    work.full_transfer_j = positive_increments(&all);
    work
}

/// Whether the near leg's centre moves forward relative to the hip, from each moment to the next.
fn goes_forward(model: &BodyModel, stride: &StrideMotion) -> Vec<bool> {
    let ahead = |m: &Moment| {
        let leg = model.segments.iter().zip(&m.segments).filter(|(s, _)| s.limb == Limb::NearLeg);
        let (sum, mass) = leg.fold((0.0, 0.0), |(x, m), (s, motion)| {
            (x + s.mass_kg * motion.centre.position_m.x, m + s.mass_kg)
        });
        sum / mass.max(f64::MIN_POSITIVE) - m.place(Landmark::NearHip).map_or(0.0, |h| h.x)
    };
    let series = stride.series(ahead);
    series.iter().zip(series.iter().skip(1)).map(|(a, b)| b > a).collect()
}

/// Sum of the increments that are positive.
#[must_use]
pub fn positive_increments(series: &[f64]) -> f64 {
    series.iter().zip(series.iter().skip(1)).map(|(a, b)| (b - a).max(0.0)).sum()
}

/// External work of the centre of mass: positive increments of `1/2 M Vx^2 + 1/2 M Vy^2 + M g y`, with
/// the belt's speed added on a belt.
///
/// Source: Cavagna and Kaneko 1977, J Physiol 268:467-481.
#[must_use]
pub fn external_work_j(model: &BodyModel, stride: &StrideMotion, belt_m_s: f64) -> f64 {
    let mass_kg = model.mass_kg();
    let energy = |m: &Moment| {
        let v = m.centre.velocity_m_s;
        mass_kg
            * (0.5 * ((v.x + belt_m_s).powi(2) + v.y * v.y) + GRAVITY_M_S2 * m.centre.position_m.y)
    };
    positive_increments(&stride.series(energy))
}

/// The near leg's energy through the stride. J.
#[must_use]
pub fn leg_energy_j(model: &BodyModel, stride: &StrideMotion) -> Vec<f64> {
    stride.series(|m| sum_of(model, &energies(model, m), Limb::NearLeg).total_j())
}
