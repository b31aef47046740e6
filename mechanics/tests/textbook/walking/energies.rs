//! Energies of the segments against the tables.
//!
//! Not checked, since the rows are not available:
//! - Table A.6 except frame 10. For frame 20, `path` checks centres, velocities and angular velocities instead.
//! - The work of half the body, summed from Table A.6 over frames 28 to 96 and 1 to 69. Computed from Table A.1, the
//!   first sums are 62.9, 31.0, 92.2 and 161.5 J; the table gives 62.0, 30.4, 97.6 and 156.8. The rows here do not show
//!   the book's centre of head, arms and trunk. Frame 1 has no derivative from Table A.1, which begins there.

use super::{rows, segments};
use mechanics::measures::energy::GRAVITY_M_S2;
use nalgebra::Vector2;

#[test]
fn energies_of_foot_leg_and_thigh_are_those_of_the_table() {
    // Source: Winter 2009, Table A.6, frame 10: potential, translational and rotational energy of foot, leg
    // and thigh in J, printed to 0.1; within 0.07, 0.067 and 0.054 J.
    let printed = [(1.2, 6.3, 0.1), (10.1, 9.9, 0.4), (38.3, 8.6, 0.2)];
    let [ten, _] = rows();
    for ((row, segment), (potential_j, translational_j, rotational_j)) in
        ten.iter().zip(segments()).zip(printed)
    {
        let mass_kg = segment.mass_kg;
        let got = [
            mass_kg * GRAVITY_M_S2 * row.position_m[1],
            0.5 * mass_kg * Vector2::from(row.velocity_m_s).norm_squared(),
            0.5 * segment.inertia_kg_m2 * row.angular_velocity_rad_s.powi(2),
        ];
        println!("{}: {got:.3?} J", segment.name);
        assert!((got[0] - potential_j).abs() <= 0.07, "{}", segment.name);
        assert!((got[1] - translational_j).abs() <= 0.067, "{}", segment.name);
        assert!((got[2] - rotational_j).abs() <= 0.054, "{}", segment.name);
    }
}
