//! Random chains of thigh, shank and foot against a rigid-body library: centres, energies, inertia, moments.

use super::chain::{Chain, energy_j};
use super::{fixture, same};
use mechanics::measures::energy::GRAVITY_M_S2;
use mechanics::measures::swing::{free_leg_loads, leg_inertia_kg_m2};
use nalgebra::Vector2;
use serde::Deserialize;

/// A chain with what the library says of it.
#[derive(Deserialize)]
struct Solved {
    #[serde(flatten)]
    chain: Chain,
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

#[test]
fn centres_of_mass_of_random_chains_are_those_of_the_library() {
    for solved in fixture::<Vec<Solved>>("chains") {
        let moment = solved.chain.moment(&solved.chain.model(true));
        for (segment, centre_m) in moment.segments.iter().zip(solved.centres_m) {
            let at = segment.centre.position_m;
            same(at.x, centre_m[0], 1.0, "centre forward");
            same(at.y, centre_m[1], 1.0, "centre up");
        }
        let (at, moves) = (moment.centre.position_m, moment.centre.velocity_m_s);
        for (axis, scale) in [(0, 1.0), (1, 1.0)] {
            same(at[axis], solved.mass_centre_m[axis], scale, "centre of mass");
            same(moves[axis], solved.mass_centre_m_s[axis], scale, "its velocity");
        }
        same(
            solved.chain.mass_kg() * GRAVITY_M_S2 * at.y,
            solved.potential_j,
            1.0,
            "potential energy",
        );
    }
}

#[test]
fn energies_of_random_chains_are_those_of_the_library_and_part_as_koenig_says() {
    let chains = fixture::<Vec<Solved>>("chains");
    for solved in &chains {
        let model = solved.chain.model(true);
        let moment = solved.chain.moment(&model);
        let internal_j = energy_j(&model, &moment);
        same(internal_j, solved.internal_j, solved.kinetic_j, "internal energy");
        let whole_j =
            internal_j + 0.5 * solved.chain.mass_kg() * moment.centre.velocity_m_s.norm_squared();
        same(whole_j, solved.kinetic_j, 0.0, "kinetic energy");
    }
    // With the hip at rest the energy relative to the hip is all there is.
    let resting: Vec<&Solved> = chains.iter().filter(|c| c.chain.hip_m_s == [0.0, 0.0]).collect();
    assert_eq!(resting.len(), 8);
    for solved in resting {
        let model = solved.chain.model(false);
        same(
            energy_j(&model, &solved.chain.moment(&model)),
            solved.kinetic_j,
            0.0,
            "energy about the hip",
        );
    }
}

#[test]
fn inverse_dynamics_of_random_chains_is_that_of_the_library() {
    for solved in fixture::<Vec<Solved>>("chains") {
        let model = solved.chain.model(false);
        let moment = solved.chain.moment(&model);
        let inertia = leg_inertia_kg_m2(&model, &moment);
        same(inertia, solved.inertia_about_hip_kg_m2, 0.0, "inertia about the hip");
        let [ankle, knee, hip] = free_leg_loads(&model, &moment).unwrap();
        let [hip_n_m, knee_n_m, ankle_n_m] = solved.hip_knee_ankle_n_m;
        let scale_n = Vector2::from(solved.hip_force_n).norm();
        same(hip.force_n.x, solved.hip_force_n[0], scale_n, "hip force forward");
        same(hip.force_n.y, solved.hip_force_n[1], scale_n, "hip force up");
        let scale_n_m = hip_n_m.abs();
        same(hip.moment_n_m, hip_n_m, 0.0, "hip moment");
        same(knee.moment_n_m, knee_n_m, scale_n_m, "knee moment");
        same(ankle.moment_n_m, ankle_n_m, scale_n_m, "ankle moment");
    }
}
