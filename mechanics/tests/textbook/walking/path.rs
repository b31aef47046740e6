//! Filtered markers, centres of mass and angles from raw markers, against the tables.

use super::Marker::{Ankle, Fibula, Heel, Hip, Knee, Mt5, Rib};
use super::{CUTOFF_HZ, ENDS, Marker, filtered, grid, position, raw, rows, segments, smooth};
use mechanics::signal::{State, Track, TrackSegment};
use nalgebra::Vector2;

/// Source: Winter 2009, Table A.2, filtered positions in m.
const FILTERED: [(usize, Marker, [f64; 2]); 11] = [
    (10, Hip, [0.6278, 0.8185]),
    (10, Knee, [0.7319, 0.5200]),
    (10, Fibula, [0.7133, 0.4391]),
    (10, Ankle, [0.4817, 0.2106]),
    (10, Heel, [0.4083, 0.2107]),
    (10, Rib, [0.6349, 1.0739]),
    (20, Hip, [0.8335, 0.8189]),
    (20, Knee, [0.9627, 0.5361]),
    (20, Ankle, [1.0173, 0.1177]),
    (28, Rib, [0.9896, 1.0367]),
    (28, Hip, [1.0183, 0.7959]),
];

/// Distances of the filtered markers from the filtered table in these frames, along both axes. m.
fn misfits_m(raw: &[TrackSegment], cutoff_hz: f64, frames: impl Fn(usize) -> bool) -> Vec<f64> {
    FILTERED
        .iter()
        .filter(|(frame, ..)| frames(*frame))
        .flat_map(|(frame, marker, printed)| {
            let got = position(&filtered(&raw[*marker as usize], cutoff_hz), *frame);
            [got.x - printed[0], got.y - printed[1]]
        })
        .collect()
}

fn root_mean_square(values: &[f64]) -> f64 {
    (values.iter().map(|v| v * v).sum::<f64>() / values.len() as f64).sqrt()
}

#[test]
fn the_filter_reproduces_the_filtered_table_only_at_its_cutoff() {
    // Source: Winter 2009, Tables A.1 and A.2: over frames 9 to 98 RMS 0.041 mm and at most 0.25 mm; 4.9 and
    // 5.1 Hz fit clearly worse. How the book treats the ends is not known, which still shows at frame 10.
    let Some(raw) = raw() else { return };
    let greatest_m =
        misfits_m(&raw, CUTOFF_HZ, |_| true).iter().fold(0.0, |m: f64, d| m.max(d.abs()));
    println!("greatest {:.4} mm", 1e3 * greatest_m);
    assert!(greatest_m <= 0.000_25, "{greatest_m}");
    let rms_m = |cutoff_hz| root_mean_square(&misfits_m(&raw, cutoff_hz, |f| f >= 20));
    assert!(rms_m(CUTOFF_HZ) <= 0.000_041, "{}", rms_m(CUTOFF_HZ));
    for other_hz in [4.9, 5.1, 6.0] {
        println!(
            "{other_hz} Hz: RMS {:.4} mm, {:.4} at 5 Hz",
            1e3 * rms_m(other_hz),
            1e3 * rms_m(5.0)
        );
        assert!(rms_m(other_hz) > 1.5 * rms_m(CUTOFF_HZ), "{other_hz}: {}", rms_m(other_hz));
    }
}

/// A marker of the filtered table, at rest; the fifth metatarsal, of which no row is available, from our filter.
fn printed(raw: &[TrackSegment], marker: Marker, frame: usize) -> State {
    let row = FILTERED.iter().find(|(f, m, _)| *f == frame && *m == marker);
    let filtered = || position(&filtered(&raw[marker as usize], CUTOFF_HZ), frame);
    let zero = Vector2::zeros();
    State {
        position_m: row.map_or_else(filtered, |(.., at)| Vector2::from(*at)),
        velocity_m_s: zero,
        acceleration_m_s2: zero,
    }
}

/// Difference of two angles, in degrees from -180 to 180.
fn difference_in_degrees(angle_rad: f64, other_rad: f64) -> f64 {
    let d = angle_rad - other_rad;
    d.sin().atan2(d.cos()).to_degrees()
}

#[test]
fn centres_of_mass_and_angles_are_those_of_the_table() {
    // Source: Winter 2009, Tables A.2 and A.3: centres within 0.5 mm; angles within 0.063 degrees, the foot's 0.17.
    let Some(raw) = raw() else { return };
    for frame in rows() {
        for ((row, segment), (from, to)) in frame.iter().zip(segments()).zip(ENDS) {
            let motion =
                segment.motion(printed(&raw, from, row.frame), printed(&raw, to, row.frame));
            let off_m = motion.centre.position_m - Vector2::from(row.position_m);
            // The book's line goes from the distal to the proximal end, ours from the proximal to the distal one.
            let off =
                difference_in_degrees(motion.angle_rad() + std::f64::consts::PI, row.angle_rad);
            println!(
                "{} {}: {:.2} mm, {off:.3} degrees",
                row.frame,
                segment.name,
                1e3 * off_m.norm()
            );
            assert!(off_m.amax() <= 0.0005, "{} {}: {off_m}", row.frame, segment.name);
            let most = if segment.name == "foot" { 0.17 } else { 0.063 };
            assert!(off.abs() <= most, "{} {}: {off}", row.frame, segment.name);
        }
    }
}

#[test]
fn linear_and_angular_velocities_computed_from_raw_markers_are_those_of_the_table() {
    // Source: Winter 2009, Table A.3 at frame 20, far from both ends: angular velocities within 0.06 rad/s. Velocities
    // are differences over two frames of positions known to 0.1 mm: within 0.01 m/s.
    let Some(raw) = raw() else { return };
    let track = |r: &TrackSegment| Track::new(std::slice::from_ref(r), CUTOFF_HZ, &grid());
    let tracks: Vec<Track> = raw.iter().map(track).collect();
    let [_, twenty] = rows();
    for ((row, segment), (from, to)) in twenty.iter().zip(segments()).zip(ENDS) {
        let at = |m: Marker| tracks[m as usize].at((row.frame - 1) as f64).unwrap();
        let motion = segment.motion(at(from), at(to));
        let rate_off = motion.angular_velocity_rad_s - row.angular_velocity_rad_s;
        let off_m_s = motion.centre.velocity_m_s - Vector2::from(row.velocity_m_s);
        println!("{}: {rate_off:.3} rad/s, {:.4} m/s", segment.name, off_m_s.norm());
        assert!(rate_off.abs() <= 0.06, "{}: {rate_off}", segment.name);
        assert!(off_m_s.amax() <= 0.01, "{}: {off_m_s}", segment.name);
    }
}

/// Angle of the line from one marker to another. rad.
fn line_rad(smooth: &[TrackSegment], from: Marker, to: Marker, frame: usize) -> f64 {
    let d = position(&smooth[to as usize], frame) - position(&smooth[from as usize], frame);
    d.y.atan2(d.x)
}

#[test]
fn joint_angles_are_those_of_the_table_with_the_fibula_for_the_leg() {
    // Source: Winter 2009, Table A.4: ankle, knee and hip in degrees at six frames. Knee and ankle angles refer
    // to the line through the head of the fibula; the foot's line goes from heel to fifth metatarsal.
    let printed = [
        (28, [-0.4, -0.6, 12.8]),
        (40, [0.4, 15.2, 7.2]),
        (52, [6.7, 6.4, -1.2]),
        (64, [-1.4, 19.6, -6.2]),
        (77, [-9.9, 66.6, 15.3]),
        (85, [-1.6, 40.0, 22.6]),
    ];
    let Some(smooth) = smooth() else { return };
    for (frame, expected) in printed {
        let line = |from, to| line_rad(&smooth, from, to, frame).to_degrees();
        let (thigh, leg) = (line(Knee, Hip), line(Ankle, Fibula));
        let got = [line(Heel, Mt5) + 90.0 - leg, thigh - leg, thigh - line(Hip, Rib)];
        println!("frame {frame}: {got:.2?}, printed {expected:?}");
        for (got, expected) in got.iter().zip(expected) {
            assert!((got - expected).abs() <= 0.10, "frame {frame}: {got} {expected}");
        }
    }
}
