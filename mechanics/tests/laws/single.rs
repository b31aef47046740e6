//! Laws of one body state of a leg.

use super::chain::{Chain, energy_j};
use super::{chains, same};
use mechanics::measures::swing::{JointLoad, free_leg_loads, leg_inertia_kg_m2};
use proptest::prelude::*;

fn loads(chain: &Chain) -> [JointLoad; 3] {
    let model = chain.model(false);
    free_leg_loads(&model, &chain.state(&model)).unwrap()
}

/// Energy relative to the chain's own centre of mass.
fn internal_j(chain: &Chain) -> f64 {
    let model = chain.model(true);
    energy_j(&model, &chain.state(&model))
}

fn inertia_kg_m2(chain: &Chain) -> f64 {
    let model = chain.model(false);
    leg_inertia_kg_m2(&model, &chain.state(&model))
}

/// The greatest moment, the scale for small ones.
fn scale_n_m(loads: &[JointLoad; 3]) -> f64 {
    loads.iter().fold(1e-3, |m: f64, l| m.max(l.moment_n_m.abs()))
}

fn times<const N: usize>(values: [f64; N], factor: f64) -> [f64; N] {
    values.map(|v| v * factor)
}

proptest! {
    #[test]
    fn energy_moments_and_inertia_scale_with_the_unit_of_mass(chain in chains(), unit in 0.01_f64..100.0) {
        let other = Chain {
            masses_kg: times(chain.masses_kg, unit),
            inertias_kg_m2: times(chain.inertias_kg_m2, unit),
            ..chain.clone()
        };
        prop_assert!(same(internal_j(&other), unit * internal_j(&chain), 0.0));
        prop_assert!(same(inertia_kg_m2(&other), unit * inertia_kg_m2(&chain), 0.0));
        let (before, after) = (loads(&chain), loads(&other));
        for (a, b) in before.iter().zip(&after) {
            prop_assert!(same(b.moment_n_m, unit * a.moment_n_m, unit * scale_n_m(&before)));
        }
    }

    #[test]
    fn energy_and_inertia_scale_with_the_square_of_the_unit_of_length(chain in chains(), unit in 0.01_f64..100.0) {
        let other = Chain {
            lengths_m: times(chain.lengths_m, unit),
            inertias_kg_m2: times(chain.inertias_kg_m2, unit * unit),
            hip_m: times(chain.hip_m, unit),
            hip_m_s: times(chain.hip_m_s, unit),
            hip_m_s2: times(chain.hip_m_s2, unit),
            ..chain.clone()
        };
        prop_assert!(same(internal_j(&other), unit * unit * internal_j(&chain), 0.0));
        prop_assert!(same(inertia_kg_m2(&other), unit * unit * inertia_kg_m2(&chain), 0.0));
    }

    #[test]
    fn energy_scales_with_the_inverse_square_of_the_unit_of_time(chain in chains(), unit in 0.05_f64..20.0) {
        let other = Chain {
            hip_m_s: times(chain.hip_m_s, 1.0 / unit),
            rates_rad_s: times(chain.rates_rad_s, 1.0 / unit),
            ..chain.clone()
        };
        prop_assert!(same(internal_j(&other), internal_j(&chain) / (unit * unit), 0.0));
        prop_assert!(same(inertia_kg_m2(&other), inertia_kg_m2(&chain), 0.0));
    }

    #[test]
    fn reflection_reverses_moments_and_leaves_energy_and_inertia(chain in chains()) {
        let reflected = |[x, y]: [f64; 2]| [-x, y];
        let other = Chain {
            hip_m: reflected(chain.hip_m),
            hip_m_s: reflected(chain.hip_m_s),
            hip_m_s2: reflected(chain.hip_m_s2),
            angles_rad: chain.angles_rad.map(|a| std::f64::consts::PI - a),
            rates_rad_s: times(chain.rates_rad_s, -1.0),
            accelerations_rad_s2: times(chain.accelerations_rad_s2, -1.0),
            ..chain.clone()
        };
        prop_assert!(same(internal_j(&other), internal_j(&chain), 0.0));
        prop_assert!(same(inertia_kg_m2(&other), inertia_kg_m2(&chain), 0.0));
        let (before, after) = (loads(&chain), loads(&other));
        for (a, b) in before.iter().zip(&after) {
            prop_assert!(same(b.moment_n_m, -a.moment_n_m, scale_n_m(&before)));
            prop_assert!(same(b.force_n.x, -a.force_n.x, a.force_n.norm()));
            prop_assert!(same(b.force_n.y, a.force_n.y, a.force_n.norm()));
        }
    }

    #[test]
    fn reversal_of_time_leaves_energies_and_moments(chain in chains()) {
        let other = Chain {
            hip_m_s: times(chain.hip_m_s, -1.0),
            rates_rad_s: times(chain.rates_rad_s, -1.0),
            ..chain.clone()
        };
        prop_assert!(same(internal_j(&other), internal_j(&chain), 0.0));
        let (before, after) = (loads(&chain), loads(&other));
        for (a, b) in before.iter().zip(&after) {
            prop_assert!(same(b.moment_n_m, a.moment_n_m, scale_n_m(&before)));
        }
    }

    #[test]
    fn a_shift_and_a_constant_velocity_change_no_internal_quantity(
        chain in chains(), shift in prop::array::uniform2(-50.0_f64..50.0), velocity in prop::array::uniform2(-10.0_f64..10.0)
    ) {
        let plus = |a: [f64; 2], b: [f64; 2]| [a[0] + b[0], a[1] + b[1]];
        let other = Chain {
            hip_m: plus(chain.hip_m, shift),
            hip_m_s: plus(chain.hip_m_s, velocity),
            ..chain.clone()
        };
        // Differences of positions 50 m away are rounded to about 1e-14 m, and those of velocities likewise.
        prop_assert!(same(internal_j(&other), internal_j(&chain), 1e-2));
        prop_assert!(same(inertia_kg_m2(&other), inertia_kg_m2(&chain), 1e-2));
        let (before, after) = (loads(&chain), loads(&other));
        for (a, b) in before.iter().zip(&after) {
            prop_assert!(same(b.moment_n_m, a.moment_n_m, scale_n_m(&before).max(1.0)));
        }
    }
}
