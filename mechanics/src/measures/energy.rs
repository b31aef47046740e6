//! Internal work: the kinetic energy of the segments relative to the centre of mass, and the work that it takes.
//!
//! The energy of segment i relative to the centre of mass is
//!
//! `E_i = 1/2 m_i |v_i - V|^2 + 1/2 I_i w_i^2`
//!
//! with its mass m_i, the velocity v_i of its centre, the moment of inertia I_i about its centre, its angular velocity
//! w_i and the velocity V of the body's centre of mass (of the mid-hip, if only the legs are marked). The internal work of
//! a stride is the sum of the positive increments of each limb's energy:
//!
//! `W_int = sum over limbs, over samples k: max(0, E_limb(k+1) - E_limb(k))`, `E_limb = sum over its segments of E_i`
//!
//! so that the segments of a limb transfer energy to each other, and limbs do not.
//! Source: Fenn 1930, Am J Physiol 92:583-611 (relative kinetic energies); Cavagna and Kaneko 1977, J Physiol
//! 268:467-481 (König's theorem); Willems, Cavagna and Heglund 1995, J Exp Biol 198:379-393 (transfer within limbs).
//!
//! # Example
//! A leg reduced to one point mass, 1 m from a fixed hip, that swings as `A sin(2 pi f t)`: the closed form of its work
//! is `m l^2 (2 pi f A)^2` a period.
//! ```
//! use mechanics::body::{BodyModel, End, Joint, Landmark, Limb, Segment};
//! use mechanics::gait::Stride;
//! use mechanics::measures::energy::stride_work;
//! use mechanics::measures::motion::{BodyState, SAMPLES, StrideMotion};
//! use mechanics::signal::State;
//! use mechanics::space::Side;
//! use nalgebra::Vector2;
//! use std::f64::consts::TAU;
//!
//! let at = |joint| End::Of(joint, Side::Near);
//! let leg = Segment {
//!     name: "leg",
//!     limb: Limb::NearLeg,
//!     from: at(Joint::Hip),
//!     to: at(Joint::Knee),
//!     mass_kg: 2.5,
//!     centre_fraction: 1.0,
//!     inertia_kg_m2: 0.0,
//! };
//! let model = BodyModel { segments: vec![leg], whole_body: false };
//! let (amplitude_rad, rate_hz) = (0.5, 1.4);
//!
//! let still = |y_m: f64| State {
//!     position_m: Vector2::new(0.0, y_m),
//!     velocity_m_s: Vector2::zeros(),
//!     acceleration_m_s2: Vector2::zeros(),
//! };
//! let sample = |k: usize| {
//!     let phase = TAU * k as f64 / (SAMPLES - 1) as f64;
//!     let (angle, turn) = (amplitude_rad * phase.sin(), amplitude_rad * TAU * rate_hz * phase.cos());
//!     let knee = State {
//!         position_m: Vector2::new(angle.sin(), -angle.cos()),
//!         velocity_m_s: Vector2::new(angle.cos(), angle.sin()) * turn,
//!         acceleration_m_s2: Vector2::zeros(),
//!     };
//!     let states = [
//!         (Landmark::NearHip, still(0.0)),
//!         (Landmark::FarHip, still(0.0)),
//!         (Landmark::NearKnee, knee),
//!         (Landmark::NearHeel, still(-1.0)),
//!         (Landmark::NearToe, still(-1.0)),
//!     ];
//!     BodyState::new(&model, states.into_iter().collect())
//! };
//! let stride = Stride { side: Side::Near, start_s: 0.0, toe_off_s: 0.3, end_s: 1.0 / rate_hz };
//! let samples = (0..SAMPLES).map(sample).collect::<Result<_, Landmark>>().unwrap();
//!
//! let work = stride_work(&model, &StrideMotion { stride, samples });
//! let expected_j = 2.5 * (TAU * rate_hz * amplitude_rad).powi(2);
//! assert!((work.internal_j - expected_j).abs() < 1e-3);
//! ```

use super::motion::{BodyState, LIMBS, StrideMotion};
use crate::body::{BodyModel, Limb, Segment};
use crate::landmark::Landmark;

/// Standard gravity. Exact: 9.80665 by definition; rounded to 9.81 as in textbooks.
pub const GRAVITY_M_S2: f64 = 9.81;

/// The internal work of one stride, in total and in parts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StrideWork {
    /// With transfer within limbs: sum over limbs of the positive increments of each limb's energy. J.
    pub internal_j: f64,
    /// The same by limb, in the order of [`LIMBS`]; none for limbs that the model does not have.
    pub by_limb_j: [Option<f64>; 5],
    /// Without transfer: positive increments of the translational and the rotational energy of each segment. J.
    pub no_transfer_j: f64,
    /// With transfer between all segments: positive increments of the sum. J.
    pub full_transfer_j: f64,
    /// The translational part of `internal_j`. J.
    pub translational_j: f64,
    /// The rotational part of `internal_j`. J.
    pub rotational_j: f64,
    /// Work of the near leg while its centre moves forward relative to the hip. J.
    pub forward_swing_j: f64,
    /// Work of the near leg while its centre moves backward relative to the hip. J.
    pub backward_swing_j: f64,
}

/// Translational and rotational energy of one segment in one body state, relative to the reference.
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

/// Energies of the segments in the order of the model: `1/2 m |v - V|^2` and `1/2 I w^2`; V as above.
fn energies<'a>(
    model: &'a BodyModel,
    state: &'a BodyState,
) -> impl Iterator<Item = (&'a Segment, Energy)> {
    let reference = if model.whole_body { state.centre } else { state.mid_hip };
    model.segments.iter().zip(&state.segments).map(move |(segment, motion)| {
        let relative_m_s = motion.centre.velocity_m_s - reference.velocity_m_s;
        let energy = Energy {
            translational_j: 0.5 * segment.mass_kg * relative_m_s.norm_squared(),
            rotational_j: 0.5 * segment.inertia_kg_m2 * motion.angular_velocity_rad_s.powi(2),
        };
        (segment, energy)
    })
}

/// The energies of one body state, kept until the next.
#[derive(Clone, Debug, Default)]
struct StateEnergies {
    by_limb: [Energy; LIMBS.len()],
    segments: Vec<Energy>,
    ahead_m: f64,
}

impl StateEnergies {
    fn set(&mut self, model: &BodyModel, state: &BodyState) {
        self.by_limb = Default::default();
        self.segments.clear();
        for (segment, energy) in energies(model, state) {
            self.segments.push(energy);
            if let Some(sum) = self.by_limb.get_mut(segment.limb as usize) {
                *sum = sum.plus(energy);
            }
        }
        self.ahead_m = leg_ahead_m(model, state);
    }
}

/// How far the near leg's centre is ahead of its hip.
fn leg_ahead_m(model: &BodyModel, state: &BodyState) -> f64 {
    let leg = model.segments.iter().zip(&state.segments).filter(|(s, _)| s.limb == Limb::NearLeg);
    let (sum, mass) = leg.fold((0.0, 0.0), |(x, m), (s, motion)| {
        (x + s.mass_kg * motion.centre.position_m.x, m + s.mass_kg)
    });
    sum / mass.max(f64::MIN_POSITIVE) - state.position_m(Landmark::NearHip).map_or(0.0, |h| h.x)
}

/// The internal work of a stride; formula and sources above.
#[must_use]
pub fn stride_work(model: &BodyModel, stride: &StrideMotion) -> StrideWork {
    let mut work = StrideWork::default();
    for (limb, limb_j) in LIMBS.into_iter().zip(&mut work.by_limb_j) {
        *limb_j = model.segments.iter().any(|s| s.limb == limb).then_some(0.0);
    }
    let (mut before, mut after) = (StateEnergies::default(), StateEnergies::default());
    let mut samples = stride.samples.iter();
    if let Some(first) = samples.next() {
        before.set(model, first);
    }
    for sample in samples {
        after.set(model, sample);
        work.add(&before, &after);
        std::mem::swap(&mut before, &mut after);
    }
    work
}

impl StrideWork {
    /// Adds the positive increments from one body state to the next.
    fn add(&mut self, before: &StateEnergies, after: &StateEnergies) {
        let forward = after.ahead_m > before.ahead_m;
        let limbs = LIMBS.into_iter().zip(&mut self.by_limb_j);
        for ((limb, limb_j), (from, to)) in limbs.zip(before.by_limb.iter().zip(&after.by_limb)) {
            let gain_j = to.total_j() - from.total_j();
            let (true, Some(limb_j)) = (gain_j > 0.0, limb_j) else { continue };
            *limb_j += gain_j;
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

/// Sum of the positive increments of a series.
#[must_use]
pub fn positive_increments(series: &[f64]) -> f64 {
    series.iter().zip(series.iter().skip(1)).map(|(a, b)| (b - a).max(0.0)).sum()
}

/// External work of the centre of mass: positive increments of `1/2 M Vx^2 + 1/2 M Vy^2 + M g y`; on a belt, its speed
/// is added to Vx.
///
/// Source: Cavagna and Kaneko 1977, J Physiol 268:467-481.
#[must_use]
pub fn external_work_j(model: &BodyModel, stride: &StrideMotion, belt_m_s: f64) -> f64 {
    let mass_kg = model.mass_kg();
    let energy_j = |state: &BodyState| {
        let v = state.centre.velocity_m_s;
        mass_kg
            * (0.5 * ((v.x + belt_m_s).powi(2) + v.y * v.y)
                + GRAVITY_M_S2 * state.centre.position_m.y)
    };
    positive_increments(&stride.series(energy_j))
}

/// Energy of the near leg in each sample of a stride, relative to the reference. J.
#[must_use]
pub fn leg_energy_j(model: &BodyModel, stride: &StrideMotion) -> Vec<f64> {
    let of_leg = |state: &BodyState| {
        energies(model, state)
            .filter(|(segment, _)| segment.limb == Limb::NearLeg)
            .map(|(_, energy)| energy.total_j())
            .sum()
    };
    stride.series(of_leg)
}
