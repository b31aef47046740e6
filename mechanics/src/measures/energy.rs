//! Kinetic energy of the segments relative to the centre of mass, and the work that it takes.

use super::motion::{LIMBS, Moment, StrideMotion};
use crate::body::{BodyModel, Landmark, Limb, Segment};

/// Standard gravity. Exact: 9.80665 by definition; 9.81 as the textbooks round it.
pub const GRAVITY_M_S2: f64 = 9.81;

/// The work of one stride, and where it goes.
#[derive(Clone, Debug, Default, PartialEq)]
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

    fn plus(self, other: Self) -> Self {
        Self {
            translational_j: self.translational_j + other.translational_j,
            rotational_j: self.rotational_j + other.rotational_j,
        }
    }
}

/// Energies of the segments, in the order of the model: `1/2 m |v - V|^2` and `1/2 I w^2`.
///
/// V is the velocity of the centre of mass; for the legs alone that of the mid-hip.
/// Source: Fenn 1930; Cavagna and Kaneko 1977, J Physiol 268:467-481 (König's theorem).
fn energies<'a>(
    model: &'a BodyModel,
    moment: &'a Moment,
) -> impl Iterator<Item = (&'a Segment, Energy)> {
    let reference = if model.whole_body { moment.centre } else { moment.mid_hip };
    model.segments.iter().zip(&moment.segments).map(move |(segment, motion)| {
        let relative_m_s = motion.centre.velocity_m_s - reference.velocity_m_s;
        let energy = Energy {
            translational_j: 0.5 * segment.mass_kg * relative_m_s.norm_squared(),
            rotational_j: 0.5 * segment.inertia_kg_m2 * motion.angular_velocity_rad_s.powi(2),
        };
        (segment, energy)
    })
}

/// What is needed of one moment to go on to the next.
#[derive(Clone, Debug, Default)]
struct Sums {
    by_limb: [Energy; LIMBS.len()],
    segments: Vec<Energy>,
    ahead_m: f64,
}

impl Sums {
    fn at(&mut self, model: &BodyModel, moment: &Moment) {
        self.by_limb = Default::default();
        self.segments.clear();
        for (segment, energy) in energies(model, moment) {
            self.segments.push(energy);
            if let Some(sum) = self.by_limb.get_mut(segment.limb as usize) {
                *sum = sum.plus(energy);
            }
        }
        self.ahead_m = ahead_m(model, moment);
    }
}

/// The near leg's centre ahead of its hip.
fn ahead_m(model: &BodyModel, moment: &Moment) -> f64 {
    let leg = model.segments.iter().zip(&moment.segments).filter(|(s, _)| s.limb == Limb::NearLeg);
    let (sum, mass) = leg.fold((0.0, 0.0), |(x, m), (s, motion)| {
        (x + s.mass_kg * motion.centre.position_m.x, m + s.mass_kg)
    });
    sum / mass.max(f64::MIN_POSITIVE) - moment.place(Landmark::NearHip).map_or(0.0, |h| h.x)
}

/// The internal work of a stride.
///
/// Source: Willems, Cavagna and Heglund 1995, J Exp Biol 198:379-393 (transfer within a limb, not between limbs).
#[must_use]
pub fn stride_work(model: &BodyModel, stride: &StrideMotion) -> StrideWork {
    let mut work = StrideWork::default();
    for (limb, place) in LIMBS.into_iter().zip(&mut work.by_limb_j) {
        *place = model.segments.iter().any(|s| s.limb == limb).then_some(0.0);
    }
    let (mut before, mut after) = (Sums::default(), Sums::default());
    let mut moments = stride.moments.iter();
    if let Some(first) = moments.next() {
        before.at(model, first);
    }
    for moment in moments {
        after.at(model, moment);
        work.add(&before, &after);
        std::mem::swap(&mut before, &mut after);
    }
    work
}

impl StrideWork {
    /// Adds what is gained from one moment to the next.
    fn add(&mut self, before: &Sums, after: &Sums) {
        let forward = after.ahead_m > before.ahead_m;
        let limbs = LIMBS.into_iter().zip(&mut self.by_limb_j);
        for ((limb, place), (from, to)) in limbs.zip(before.by_limb.iter().zip(&after.by_limb)) {
            let gain_j = to.total_j() - from.total_j();
            let (true, Some(of_limb_j)) = (gain_j > 0.0, place) else { continue };
            *of_limb_j += gain_j;
            self.internal_j += gain_j;
            self.translational_j += to.translational_j - from.translational_j;
            self.rotational_j += to.rotational_j - from.rotational_j;
            match (limb, forward) {
                (Limb::NearLeg, true) => self.forward_swing_j += gain_j,
                (Limb::NearLeg, false) => self.backward_swing_j += gain_j,
                _ => {}
            }
        }
        let mut all_j = 0.0;
        for (from, to) in before.segments.iter().zip(&after.segments) {
            self.no_transfer_j += (to.translational_j - from.translational_j).max(0.0)
                + (to.rotational_j - from.rotational_j).max(0.0);
            all_j += to.total_j() - from.total_j();
        }
        self.full_transfer_j += all_j.max(0.0);
    }
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
    let of_leg = |m: &Moment| {
        energies(model, m)
            .filter(|(segment, _)| segment.limb == Limb::NearLeg)
            .map(|(_, energy)| energy.total_j())
            .sum()
    };
    stride.series(of_leg)
}
