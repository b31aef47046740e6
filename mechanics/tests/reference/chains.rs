//! Random chains of thigh, shank and foot: centres, energies, inertia and moments against a rigid-body library.

use super::chain::{Chain, energy_j};
use super::{assert_same, fixture};
use mechanics::measures::energy::GRAVITY_M_S2;
use mechanics::measures::swing::{free_leg_loads, leg_inertia_kg_m2};
use nalgebra::Vector2;
use serde::Deserialize;

/// A chain with the library's results.
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
        let state = solved.chain.state(&solved.chain.model(true));
        for (segment, centre_m) in state.segments.iter().zip(solved.centres_m) {
            let at = segment.centre.position_m;
            assert_same(at.x, centre_m[0], 1.0, "centre forward");
            assert_same(at.y, centre_m[1], 1.0, "centre up");
        }
        let (at, velocity_m_s) = (state.centre.position_m, state.centre.velocity_m_s);
        for (axis, scale) in [(0, 1.0), (1, 1.0)] {
            assert_same(at[axis], solved.mass_centre_m[axis], scale, "centre of mass");
            assert_same(velocity_m_s[axis], solved.mass_centre_m_s[axis], scale, "its velocity");
        }
        assert_same(
            solved.chain.mass_kg() * GRAVITY_M_S2 * at.y,
            solved.potential_j,
            1.0,
            "potential energy",
        );
    }
}

#[test]
fn energies_of_random_chains_are_those_of_the_library_and_obey_koenigs_theorem() {
    let chains = fixture::<Vec<Solved>>("chains");
    for solved in &chains {
        let model = solved.chain.model(true);
        let state = solved.chain.state(&model);
        let internal_j = energy_j(&model, &state);
        assert_same(internal_j, solved.internal_j, solved.kinetic_j, "internal energy");
        let whole_j =
            internal_j + 0.5 * solved.chain.mass_kg() * state.centre.velocity_m_s.norm_squared();
        assert_same(whole_j, solved.kinetic_j, 0.0, "kinetic energy");
    }
    // With the hip at rest, the energy relative to the hip is the whole kinetic energy.
    let resting: Vec<&Solved> = chains.iter().filter(|c| c.chain.hip_m_s == [0.0, 0.0]).collect();
    assert_eq!(resting.len(), 8);
    for solved in resting {
        let model = solved.chain.model(false);
        assert_same(
            energy_j(&model, &solved.chain.state(&model)),
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
        let state = solved.chain.state(&model);
        let inertia = leg_inertia_kg_m2(&model, &state);
        assert_same(inertia, solved.inertia_about_hip_kg_m2, 0.0, "inertia about the hip");
        let [ankle, knee, hip] = free_leg_loads(&model, &state).unwrap();
        let [hip_n_m, knee_n_m, ankle_n_m] = solved.hip_knee_ankle_n_m;
        let scale_n = Vector2::from(solved.hip_force_n).norm();
        assert_same(hip.force_n.x, solved.hip_force_n[0], scale_n, "hip force forward");
        assert_same(hip.force_n.y, solved.hip_force_n[1], scale_n, "hip force up");
        let scale_n_m = hip_n_m.abs();
        assert_same(hip.moment_n_m, hip_n_m, 0.0, "hip moment");
        assert_same(knee.moment_n_m, knee_n_m, scale_n_m, "knee moment");
        assert_same(ankle.moment_n_m, ankle_n_m, scale_n_m, "ankle moment");
    }
}
