//! Laws of one moment of a leg.

use super::chain::{Chain, energy_j};
use super::{chains, same};
use mechanics::measures::swing::{JointLoad, free_leg_loads, leg_inertia_kg_m2};
use proptest::prelude::*;

fn loads(chain: &Chain) -> [JointLoad; 3] {
    let model = chain.model(false);
    free_leg_loads(&model, &chain.moment(&model)).unwrap()
}

/// Energy relative to the chain's own centre of mass.
fn internal_j(chain: &Chain) -> f64 {
    let model = chain.model(true);
    energy_j(&model, &chain.moment(&model))
}

fn inertia_kg_m2(chain: &Chain) -> f64 {
    let model = chain.model(false);
    leg_inertia_kg_m2(&model, &chain.moment(&model))
}

/// Greatest moment, by which small ones are judged.
fn scale_n_m(loads: &[JointLoad; 3]) -> f64 {
    loads.iter().fold(1e-3, |m: f64, l| m.max(l.moment_n_m.abs()))
}

fn times<const N: usize>(values: [f64; N], factor: f64) -> [f64; N] {
    values.map(|v| v * factor)
}

proptest! {
    #[test]
    fn a_unit_of_mass_scales_energy_moments_and_inertia_alike(chain in chains(), unit in 0.01_f64..100.0) {
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
    fn a_unit_of_length_goes_into_energy_and_inertia_with_its_square(chain in chains(), unit in 0.01_f64..100.0) {
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
    fn a_unit_of_time_goes_into_energy_with_its_inverse_square(chain in chains(), unit in 0.05_f64..20.0) {
        let other = Chain {
            hip_m_s: times(chain.hip_m_s, 1.0 / unit),
            rates_rad_s: times(chain.rates_rad_s, 1.0 / unit),
            ..chain.clone()
        };
        prop_assert!(same(internal_j(&other), internal_j(&chain) / (unit * unit), 0.0));
        prop_assert!(same(inertia_kg_m2(&other), inertia_kg_m2(&chain), 0.0));
    }

    #[test]
    fn a_mirror_turns_moments_round_and_leaves_energy_and_inertia(chain in chains()) {
        let turned = |[x, y]: [f64; 2]| [-x, y];
        let other = Chain {
            hip_m: turned(chain.hip_m),
            hip_m_s: turned(chain.hip_m_s),
            hip_m_s2: turned(chain.hip_m_s2),
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
    fn reversed_time_leaves_energies_and_moments(chain in chains()) {
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
    fn a_shift_and_a_constant_velocity_change_nothing_internal(
        chain in chains(), shift in prop::array::uniform2(-50.0_f64..50.0), carried in prop::array::uniform2(-10.0_f64..10.0)
    ) {
        let plus = |a: [f64; 2], b: [f64; 2]| [a[0] + b[0], a[1] + b[1]];
        let other = Chain {
            hip_m: plus(chain.hip_m, shift),
            hip_m_s: plus(chain.hip_m_s, carried),
            ..chain.clone()
        };
        // Differences of places 50 m away are rounded to some 1e-14 m, of velocities likewise.
        prop_assert!(same(internal_j(&other), internal_j(&chain), 1e-2));
        prop_assert!(same(inertia_kg_m2(&other), inertia_kg_m2(&chain), 1e-2));
        let (before, after) = (loads(&chain), loads(&other));
        for (a, b) in before.iter().zip(&after) {
            prop_assert!(same(b.moment_n_m, a.moment_n_m, scale_n_m(&before).max(1.0)));
        }
    }
}
