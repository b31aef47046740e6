//! Errors of a single camera for points outside the plane of motion.

use mechanics::calibration::{Calibration, ScaleBar, Upright};
use mechanics::space::{Direction, Pixel};

/// Projection by a pinhole camera at a distance from the plane, in which a metre is 500 px; z points towards the camera.
fn project(distance_m: f64, x_m: f64, y_m: f64, z_m: f64) -> Pixel {
    let (focal_px, centre_px) = (500.0 * distance_m, 640.0);
    let scale = focal_px / (distance_m - z_m);
    Pixel { x_px: centre_px + scale * x_m, y_px: centre_px - scale * y_m }
}

/// The length between two points that a scale in the plane of motion gives.
fn measured_m(distance_m: f64, from: [f64; 3], to: [f64; 3]) -> f64 {
    let at = |p: [f64; 3]| project(distance_m, p[0], p[1], p[2]);
    let bar = ScaleBar { from: at([-0.5, 0.0, 0.0]), to: at([0.5, 0.0, 0.0]), length_m: 1.0 };
    let plane = Calibration::new(bar, Upright::Picture, Direction::Right).unwrap();
    let (a, b) = (plane.to_point(at(from)), plane.to_point(at(to)));
    (b.x_m - a.x_m).hypot(b.y_m - a.y_m)
}

#[test]
fn a_segment_nearer_than_the_scale_seems_longer_by_the_closed_form() {
    // Exact: z / (d - z), for a knee or ankle 0.10 m before or behind the plane and a camera at 3, 5 and 10 m.
    for (distance_m, nearer, farther) in [(3.0, 3.4, -3.2), (5.0, 2.0, -2.0), (10.0, 1.0, -1.0)] {
        for (z_m, per_cent) in [(0.10, nearer), (-0.10, farther)] {
            let got =
                100.0 * (measured_m(distance_m, [0.1, 0.2, z_m], [0.1, 0.7, z_m]) / 0.5 - 1.0);
            assert!((got - 100.0 * z_m / (distance_m - z_m)).abs() < 1e-9, "{distance_m}: {got}");
            assert!((got - per_cent).abs() <= 0.05, "{distance_m} {z_m}: {got} is not {per_cent}");
        }
    }
}

#[test]
fn a_segment_rotated_out_of_the_plane_seems_shorter_by_its_cosine() {
    // Exact: cos(angle), for a camera far away: 10 degrees 1.5 % and 20 degrees 6.0 % shorter.
    for (degrees, per_cent) in [(10.0_f64, -1.5), (20.0, -6.0)] {
        let angle = degrees.to_radians();
        let half = [0.2 * angle.cos(), 0.0, 0.2 * angle.sin()];
        let got = 100.0 * (measured_m(1e5, half.map(|v| -v), half) / 0.4 - 1.0);
        assert!((got - per_cent).abs() <= 0.05, "{degrees}: {got}");
    }
}
