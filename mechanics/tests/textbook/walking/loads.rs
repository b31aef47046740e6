//! Joint forces, moments and powers of the swinging leg against the tables.

use super::{CUTOFF_HZ, ENDS, Marker, RATE_HZ, Row, grid, raw, rows, segments};
use mechanics::body::{BodyModel, Landmark, SegmentMotion};
use mechanics::measures::motion::BodyState;
use mechanics::measures::swing::{JointLoad, free_leg_loads};
use mechanics::signal::{State, Track, TrackSegment};
use nalgebra::Vector2;

/// The state of a row's centre.
fn state(row: &Row) -> State {
    State {
        position_m: row.position_m.into(),
        velocity_m_s: row.velocity_m_s.into(),
        acceleration_m_s2: row.acceleration_m_s2.into(),
    }
}

/// The leg in a frame from the motion of foot, leg and thigh and of ankle, knee and hip.
fn leg(motions: Vec<SegmentMotion>, joints: [State; 3]) -> (BodyModel, BodyState) {
    let landmarks = [Landmark::NearAnkle, Landmark::NearKnee, Landmark::NearHip];
    let model = BodyModel { segments: segments().into_iter().rev().collect(), whole_body: false };
    let state = BodyState {
        landmarks: landmarks.into_iter().zip(joints).collect(),
        segments: motions.into_iter().rev().collect(),
        centre: joints[2],
        mid_hip: joints[2],
    };
    (model, state)
}

/// A segment's motion from a row.
fn motion(row: &Row) -> SegmentMotion {
    SegmentMotion {
        centre: state(row),
        along_m: -Vector2::new(row.angle_rad.cos(), row.angle_rad.sin()),
        angular_velocity_rad_s: row.angular_velocity_rad_s,
        angular_acceleration_rad_s2: row.angular_acceleration_rad_s2,
    }
}

/// Loads of ankle, knee and hip at frames 10 and 20.
fn loads() -> [[JointLoad; 3]; 2] {
    // Source: Winter 2009, Table A.2: ankle, knee, hip in m.
    let joints_m = [
        [[0.4817, 0.2106], [0.7319, 0.5200], [0.6278, 0.8185]],
        [[1.0173, 0.1177], [0.9627, 0.5361], [0.8335, 0.8189]],
    ];
    let zero = Vector2::zeros();
    let still =
        |at: [f64; 2]| State { position_m: at.into(), velocity_m_s: zero, acceleration_m_s2: zero };
    let [ten, twenty] = rows();
    [(ten, joints_m[0]), (twenty, joints_m[1])].map(|(rows, joints_m)| {
        let (model, state) = leg(rows.iter().map(motion).collect(), joints_m.map(still));
        free_leg_loads(&model, &state).unwrap()
    })
}

#[test]
fn forces_and_moments_in_swing_are_those_of_the_table() {
    // Source: Winter 2009, Table A.5, ankle, knee, hip: Rx, Ry in N, M in N m, at frames 10 and 20. Within
    // 0.08 N, and 0.055, 0.063 and 0.078 N m.
    let printed = [
        [(5.5, 4.8, 0.4), (1.4, 19.1, -0.1), (-11.7, 60.0, 0.9)],
        [(-14.9, 12.2, 0.3), (-35.5, 40.7, -9.4), (-33.1, 82.1, -12.2)],
    ];
    for (loads, printed) in loads().iter().zip(printed) {
        for ((load, (x_n, y_n, m)), most) in loads.iter().zip(printed).zip([0.055, 0.063, 0.078]) {
            let off = [load.force_n.x - x_n, load.force_n.y - y_n, load.moment_n_m - m];
            println!("off by {off:.3?} N, N, N m");
            assert!(off[0].abs() <= 0.08 && off[1].abs() <= 0.08, "{load:?} is not {x_n} {y_n}");
            assert!(off[2].abs() <= most, "{load:?} is not {m}");
        }
    }
}

#[test]
fn the_knees_power_is_that_of_the_table() {
    // Source: Winter 2009, Table A.7: -57.2 W at frame 20, from the moment of Table A.5 and the rates of A.3
    // within 0.27 W (the moment is printed to 0.1 N m, which alone is 0.3 W).
    let [_, [_, leg, thigh]] = rows();
    let rate_rad_s = leg.angular_velocity_rad_s - thigh.angular_velocity_rad_s;
    assert!((-9.4 * rate_rad_s + 57.2).abs() <= 0.27);
    let [_, [_, knee, _]] = loads();
    assert!((knee.moment_n_m * rate_rad_s + 57.2).abs() <= 0.27 + 0.063 * rate_rad_s.abs());
}

#[test]
fn the_powers_of_ankle_and_hip_are_those_of_the_table() {
    // Source: Winter 2009, Table A.7, frame 20: 0.3 W at the ankle, 15.7 W at the hip, from the moments of Table
    // A.5, 0.3 and -12.2 N m. The trunk rotates with the line from hip to rib, the foot with the line from heel to fifth
    // metatarsal; their angular velocities are computed here, since no row of them is available. A moment is printed
    // to within 0.05 N m, a power to within 0.05 W; angular velocities are known to 0.06 rad/s.
    let Some(raw) = raw() else { return };
    let track = |r: &TrackSegment| Track::new(std::slice::from_ref(r), CUTOFF_HZ, &grid());
    let tracks: Vec<Track> = raw.iter().map(track).collect();
    let rate_rad_s = |from: Marker, to: Marker| {
        let at = |m: Marker| tracks[m as usize].at(19.0).unwrap();
        let (d, v) =
            (at(to).position_m - at(from).position_m, at(to).velocity_m_s - at(from).velocity_m_s);
        d.perp(&v) / d.norm_squared()
    };
    let hip = rate_rad_s(Marker::Hip, Marker::Knee) - rate_rad_s(Marker::Hip, Marker::Rib);
    let ankle = rate_rad_s(Marker::Heel, Marker::Mt5) - rate_rad_s(Marker::Knee, Marker::Ankle);
    for (moment_n_m, rate_rad_s, printed_w) in [(-12.2, hip, 15.7), (0.3, ankle, 0.3)] {
        let got_w = moment_n_m * rate_rad_s;
        println!("{got_w:.2} W, printed {printed_w}");
        let most_w = 0.05 + 0.05 * f64::abs(rate_rad_s) + 0.06 * f64::abs(moment_n_m);
        assert!((got_w - printed_w).abs() <= most_w, "{got_w} is not {printed_w}");
    }
}

/// A marker's state with the book's acceleration: the difference over two frames of velocities that are themselves
/// differences over two frames.
fn state_by_double_difference(track: &Track, frame: usize) -> State {
    let at = |f: usize| track.at((f - 1) as f64).unwrap();
    let gain = at(frame + 1).velocity_m_s - at(frame - 1).velocity_m_s;
    State { acceleration_m_s2: gain * (RATE_HZ / 2.0), ..at(frame) }
}

#[test]
fn moments_in_swing_computed_from_raw_markers_are_those_of_the_table() {
    // Source: Winter 2009, Table A.5: ankle, knee and hip in N m through the second swing. Within
    // the printed 0.05, and 1 % for the rounding of intermediate results.
    let printed = [
        (20, [0.3, -9.4, -12.2]),
        (73, [1.3, 6.4, 13.6]),
        (76, [0.7, 4.3, 9.4]),
        (79, [0.5, 0.6, 2.0]),
        (82, [0.6, -2.2, -1.4]),
        (85, [0.8, -3.6, -3.0]),
        (88, [0.6, -7.4, -9.4]),
        (91, [-0.2, -14.5, -19.0]),
        (94, [-0.6, -14.5, -15.7]),
    ];
    let Some(raw) = raw() else { return };
    let track = |r: &TrackSegment| Track::new(std::slice::from_ref(r), CUTOFF_HZ, &grid());
    let tracks: Vec<Track> = raw.iter().map(track).collect();
    for (frame, printed) in printed {
        let at = |m: Marker| state_by_double_difference(&tracks[m as usize], frame);
        let motions =
            segments().into_iter().zip(ENDS).map(|(s, (from, to))| s.motion(at(from), at(to)));
        let joints = [Marker::Ankle, Marker::Knee, Marker::Hip].map(at);
        let (model, state) = leg(motions.collect(), joints);
        let got = free_leg_loads(&model, &state).unwrap().map(|load| load.moment_n_m);
        println!("frame {frame}: {got:.3?}, printed {printed:?}");
        for (got, printed) in got.iter().zip(printed) {
            let most = 0.05 + 0.01 * f64::abs(printed);
            assert!((got - printed).abs() <= most, "frame {frame}: {got} is not {printed}");
        }
    }
}
