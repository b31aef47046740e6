//! Random chains of thigh, shank and foot against a rigid-body library: centres, energies, inertia, moments.

use super::{fixture, same};
use mechanics::body::{BodyModel, End, Joint, Landmark, Limb, Segment};
use mechanics::gait::Stride;
use mechanics::measures::energy::{GRAVITY_M_S2, leg_energy_j};
use mechanics::measures::motion::{Moment, StrideMotion};
use mechanics::measures::swing::{free_leg_loads, leg_inertia_kg_m2};
use mechanics::signal::State;
use mechanics::space::Side;
use nalgebra::Vector2;
use serde::Deserialize;

#[derive(Deserialize)]
struct Chain {
    lengths_m: [f64; 3],
    masses_kg: [f64; 3],
    centre_fractions: [f64; 3],
    inertias_kg_m2: [f64; 3],
    hip_m: [f64; 2],
    hip_m_s: [f64; 2],
    hip_m_s2: [f64; 2],
    angles_rad: [f64; 3],
    rates_rad_s: [f64; 3],
    accelerations_rad_s2: [f64; 3],
    centres_m: [[f64; 2]; 3],
    mass_centre_m: [f64; 2],
    mass_centre_m_s: [f64; 2],
    kinetic_j: f64,
    internal_j: f64,
    potential_j: f64,
    inertia_about_hip_kg_m2: f64,
    hip_force_n: [f64; 2],
    hip_knee_ankle_n_m: [f64; 3],
}

/// The names of the chain's joints, the hip first, its free end last.
const JOINTS: [Joint; 4] = [Joint::Hip, Joint::Knee, Joint::Ankle, Joint::Toe];

impl Chain {
    fn mass_kg(&self) -> f64 {
        self.masses_kg.iter().sum()
    }

    /// How the joints move, link by link.
    fn joints(&self) -> [State; 4] {
        let mut joints = [State {
            position_m: self.hip_m.into(),
            velocity_m_s: self.hip_m_s.into(),
            acceleration_m_s2: self.hip_m_s2.into(),
        }; 4];
        for i in 0..3 {
            let (angle, w, alpha) =
                (self.angles_rad[i], self.rates_rad_s[i], self.accelerations_rad_s2[i]);
            let along = Vector2::new(angle.cos(), angle.sin()) * self.lengths_m[i];
            let across = Vector2::new(-along.y, along.x);
            joints[i + 1] = State {
                position_m: joints[i].position_m + along,
                velocity_m_s: joints[i].velocity_m_s + across * w,
                acceleration_m_s2: joints[i].acceleration_m_s2 + across * alpha - along * (w * w),
            };
        }
        joints
    }

    fn model(&self, whole_body: bool) -> BodyModel {
        let of = |i: usize| End::Of(JOINTS[i], Side::Near);
        let segment = |i: usize| Segment {
            name: "link",
            limb: Limb::NearLeg,
            from: of(i),
            to: of(i + 1),
            mass_kg: self.masses_kg[i],
            centre_fraction: self.centre_fractions[i],
            inertia_kg_m2: self.inertias_kg_m2[i],
        };
        BodyModel { segments: (0..3).map(segment).collect(), whole_body }
    }

    fn moment(&self, model: &BodyModel) -> Moment {
        let joints = self.joints();
        let segments: Vec<_> = model
            .segments
            .iter()
            .zip(joints.windows(2))
            .map(|(segment, ends)| segment.motion(ends[0], ends[1]))
            .collect();
        let weighted = |of: fn(&State) -> Vector2<f64>| -> Vector2<f64> {
            let parts = model.segments.iter().zip(&segments);
            parts.map(|(s, m)| of(&m.centre) * (s.mass_kg / model.mass_kg())).sum()
        };
        let centre = State {
            position_m: weighted(|s| s.position_m),
            velocity_m_s: weighted(|s| s.velocity_m_s),
            acceleration_m_s2: weighted(|s| s.acceleration_m_s2),
        };
        let named = JOINTS.into_iter().map(|j| Landmark::of(j, Side::Near)).zip(joints);
        Moment { landmarks: named.collect(), segments, centre, mid_hip: joints[0] }
    }
}

/// Energy of the leg at one moment, relative to its own centre (whole body) or to the hip.
fn energy_j(model: &BodyModel, moment: &Moment) -> f64 {
    let stride = Stride { side: Side::Near, start_s: 0.0, toe_off_s: 0.4, end_s: 1.0 };
    leg_energy_j(model, &StrideMotion { stride, moments: vec![moment.clone()] })[0]
}

#[test]
fn centres_of_mass_of_random_chains_are_those_of_the_library() {
    for chain in fixture::<Vec<Chain>>("chains") {
        let moment = chain.moment(&chain.model(true));
        for (segment, centre_m) in moment.segments.iter().zip(chain.centres_m) {
            let at = segment.centre.position_m;
            same(at.x, centre_m[0], 1.0, "centre forward");
            same(at.y, centre_m[1], 1.0, "centre up");
        }
        let (at, moves) = (moment.centre.position_m, moment.centre.velocity_m_s);
        for (axis, scale) in [(0, 1.0), (1, 1.0)] {
            same(at[axis], chain.mass_centre_m[axis], scale, "centre of mass");
            same(moves[axis], chain.mass_centre_m_s[axis], scale, "its velocity");
        }
        same(chain.mass_kg() * GRAVITY_M_S2 * at.y, chain.potential_j, 1.0, "potential energy");
    }
}

#[test]
fn energies_of_random_chains_are_those_of_the_library_and_part_as_koenig_says() {
    let chains = fixture::<Vec<Chain>>("chains");
    for chain in &chains {
        let model = chain.model(true);
        let moment = chain.moment(&model);
        let internal_j = energy_j(&model, &moment);
        same(internal_j, chain.internal_j, chain.kinetic_j, "internal energy");
        let whole_j =
            internal_j + 0.5 * chain.mass_kg() * moment.centre.velocity_m_s.norm_squared();
        same(whole_j, chain.kinetic_j, 0.0, "kinetic energy");
    }
    // With the hip at rest the energy relative to the hip is all there is.
    let resting: Vec<&Chain> = chains.iter().filter(|c| c.hip_m_s == [0.0, 0.0]).collect();
    assert_eq!(resting.len(), 8);
    for chain in resting {
        let model = chain.model(false);
        same(energy_j(&model, &chain.moment(&model)), chain.kinetic_j, 0.0, "energy about the hip");
    }
}

#[test]
fn inverse_dynamics_of_random_chains_is_that_of_the_library() {
    for chain in fixture::<Vec<Chain>>("chains") {
        let model = chain.model(false);
        let moment = chain.moment(&model);
        let inertia = leg_inertia_kg_m2(&model, &moment);
        same(inertia, chain.inertia_about_hip_kg_m2, 0.0, "inertia about the hip");
        let [ankle, knee, hip] = free_leg_loads(&model, &moment).unwrap();
        let [hip_n_m, knee_n_m, ankle_n_m] = chain.hip_knee_ankle_n_m;
        let scale_n = Vector2::from(chain.hip_force_n).norm();
        same(hip.force_n.x, chain.hip_force_n[0], scale_n, "hip force forward");
        same(hip.force_n.y, chain.hip_force_n[1], scale_n, "hip force up");
        let scale_n_m = hip_n_m.abs();
        same(hip.moment_n_m, hip_n_m, 0.0, "hip moment");
        same(knee.moment_n_m, knee_n_m, scale_n_m, "knee moment");
        same(ankle.moment_n_m, ankle_n_m, scale_n_m, "ankle moment");
    }
}
