//! A passive chain in free fall: it falls with g, without joint moments, and its energy is constant.

use super::chain::{Chain, energy_j};
use super::chains;
use mechanics::measures::energy::GRAVITY_M_S2;
use mechanics::measures::swing::free_leg_loads;
use nalgebra::{SMatrix, SVector};
use proptest::prelude::*;

type Five = SVector<f64, 5>;

/// The hip's position and the angles.
fn coordinates(chain: &Chain) -> Five {
    let ([x, y], [a, b, c]) = (chain.hip_m, chain.angles_rad);
    Five::new(x, y, a, b, c)
}

fn velocities(chain: &Chain) -> Five {
    let ([x, y], [a, b, c]) = (chain.hip_m_s, chain.rates_rad_s);
    Five::new(x, y, a, b, c)
}

/// The chain with these coordinates and velocities.
fn with_state(chain: &Chain, coordinates: Five, velocities: Five) -> Chain {
    Chain {
        hip_m: [coordinates[0], coordinates[1]],
        angles_rad: [coordinates[2], coordinates[3], coordinates[4]],
        hip_m_s: [velocities[0], velocities[1]],
        rates_rad_s: [velocities[2], velocities[3], velocities[4]],
        ..chain.clone()
    }
}

/// The chain with these accelerations.
fn accelerated(chain: &Chain, a: Five) -> Chain {
    Chain { hip_m_s2: [a[0], a[1]], accelerations_rad_s2: [a[2], a[3], a[4]], ..chain.clone() }
}

/// The hip's force and the moments of hip, knee and ankle that these accelerations need.
fn loads(chain: &Chain, accelerations: Five) -> Five {
    let chain = accelerated(chain, accelerations);
    let model = chain.model(false);
    let [ankle, knee, hip] = free_leg_loads(&model, &chain.state(&model)).unwrap();
    Five::new(hip.force_n.x, hip.force_n.y, hip.moment_n_m, knee.moment_n_m, ankle.moment_n_m)
}

/// The accelerations that need no loads; loads are linear in them.
fn free_fall(chain: &Chain) -> Five {
    let at_rest = loads(chain, Five::zeros());
    let mut matrix = SMatrix::<f64, 5, 5>::zeros();
    for i in 0..5 {
        let mut unit = Five::zeros();
        unit[i] = 1.0;
        matrix.set_column(i, &(loads(chain, unit) - at_rest));
    }
    -matrix.lu().solve(&at_rest).unwrap()
}

/// One step of the classical Runge-Kutta method of fourth order.
fn step(chain: &Chain, step_s: f64) -> Chain {
    let (x, v) = (coordinates(chain), velocities(chain));
    let at = |dx: Five, dv: Five| {
        let chain = with_state(chain, x + dx, v + dv);
        (velocities(&chain), free_fall(&chain))
    };
    let (v1, a1) = at(Five::zeros(), Five::zeros());
    let (v2, a2) = at(v1 * (step_s / 2.0), a1 * (step_s / 2.0));
    let (v3, a3) = at(v2 * (step_s / 2.0), a2 * (step_s / 2.0));
    let (v4, a4) = at(v3 * step_s, a3 * step_s);
    let sixth = step_s / 6.0;
    let dx = (v1 + v2 * 2.0 + v3 * 2.0 + v4) * sixth;
    with_state(chain, x + dx, v + (a1 + a2 * 2.0 + a3 * 2.0 + a4) * sixth)
}

/// Sum of internal, external and potential energy.
fn whole_energy_j(chain: &Chain) -> f64 {
    let model = chain.model(true);
    let state = chain.state(&model);
    let mass_kg = chain.mass_kg();
    energy_j(&model, &state)
        + 0.5 * mass_kg * state.centre.velocity_m_s.norm_squared()
        + mass_kg * GRAVITY_M_S2 * state.centre.position_m.y
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_passive_chain_in_free_fall_has_no_moment_and_falls_with_g(chain in chains()) {
        let falling = accelerated(&chain, free_fall(&chain));
        let model = falling.model(true);
        let state = falling.state(&model);
        let g = state.centre.acceleration_m_s2;
        prop_assert!(g.x.abs() < 1e-7 && (g.y + GRAVITY_M_S2).abs() < 1e-7, "{g}");
        let scale = loads(&chain, Five::zeros()).amax().max(1.0);
        let left = loads(&chain, free_fall(&chain)).amax();
        prop_assert!(left <= 1e-9 * scale, "{left} of {scale}");
    }

    #[test]
    fn a_passive_chain_in_free_fall_keeps_its_energy(chain in chains()) {
        let before_j = whole_energy_j(&chain);
        let scale_j = before_j.abs().max(1.0) + energy_j(&chain.model(false), &chain.state(&chain.model(false)));
        let mut falling = chain;
        for _ in 0..400 {
            falling = step(&falling, 0.000_25);
        }
        let off_j = whole_energy_j(&falling) - before_j;
        prop_assert!(off_j.abs() <= 1e-6 * scale_j, "{off_j} of {scale_j}");
    }
}
