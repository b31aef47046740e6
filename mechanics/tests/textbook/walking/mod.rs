//! A textbook's walking trial: its raw markers, if they are beside the project, and cited rows of its tables.
//!
//! Source: Winter 2009, Appendix A: 56.7 kg, 106 frames at 69.9 frames/s, frame 1 the right toe-off, frame 28
//! the right heel contact. Table A.1 (raw, cm) is read from beside the project; selected rows of
//! the others are here, each with its table.
//!
//! Not checked, since the rows are not available: the ankle's moment in stance (it needs the ground reaction force and
//! its point of application from Table A.5; the crate computes no moment in contact), and further frames of the filtered
//! table and of angular motion.

mod energies;
mod loads;
mod path;

use crate::common::shared;
use mechanics::body::{End, Joint, Limb, Segment};
use mechanics::signal::{Biquad, Grid, TrackSegment, low_pass};
use mechanics::space::Side;
use nalgebra::Vector2;

/// Source: Winter 2009, Fig. A.1.
pub const RATE_HZ: f64 = 69.9;
/// Source: Winter 2009, Fig. A.1.
const BODY_KG: f64 = 56.7;
/// The cut-off of the filtered table. Chosen by trial: 4.9 and 5.1 Hz fit half as well.
pub const CUTOFF_HZ: f64 = 5.0;
/// The appendix's own masses (Table 4.1 has 0.0145 and 0.0465), fitted to Tables A.5 and A.6.
const FOOT_KG: f64 = 0.0140 * BODY_KG;
/// See [`FOOT_KG`].
const LEG_KG: f64 = 0.0470 * BODY_KG;
/// See [`FOOT_KG`].
const THIGH_KG: f64 = 0.100 * BODY_KG;

/// The markers, in the order of Table A.1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Marker {
    Rib,
    Hip,
    Knee,
    Fibula,
    Ankle,
    Heel,
    Mt5,
}

/// One marker's position in a frame; frames count from 1 as in the tables.
pub fn position(track: &TrackSegment, frame: usize) -> Vector2<f64> {
    Vector2::new(track.x_m[frame - 1], track.y_m[frame - 1])
}

/// The raw markers of Table A.1 in metres; none if the table does not exist.
pub fn raw() -> Option<Vec<TrackSegment>> {
    let text = shared("reference/WinterTableA1.txt")?;
    let rows: Vec<Vec<f64>> = text
        .lines()
        .skip(2)
        .map(|line| line.split_whitespace().map(|w| w.parse().unwrap()).collect())
        .collect();
    assert_eq!(rows.len(), 106);
    let column_m = |c: usize| rows.iter().map(|r: &Vec<f64>| r[c] / 100.0).collect();
    let track =
        |m: usize| TrackSegment { first: 0, x_m: column_m(2 + 2 * m), y_m: column_m(3 + 2 * m) };
    Some((0..7).map(track).collect())
}

/// A marker filtered as in the book, with ends reflected over 20 samples.
pub fn filtered(raw: &TrackSegment, cutoff_hz: f64) -> TrackSegment {
    let filter = Biquad::zero_lag(cutoff_hz, RATE_HZ);
    let smooth = |series: &[f64]| low_pass(series, &filter, 20);
    TrackSegment { first: 0, x_m: smooth(&raw.x_m), y_m: smooth(&raw.y_m) }
}

/// Every marker filtered at the book's cut-off; none if the table does not exist.
pub fn smooth() -> Option<Vec<TrackSegment>> {
    Some(raw()?.iter().map(|track| filtered(track, CUTOFF_HZ)).collect())
}

/// The trial's grid, frame 1 at 0 s.
pub fn grid() -> Grid {
    Grid { start_s: 0.0, rate_hz: RATE_HZ, count: 106 }
}

/// A row of Table A.3: angle of the line from the distal to the proximal end with its derivatives, and the centre.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    pub frame: usize,
    pub angle_rad: f64,
    pub angular_velocity_rad_s: f64,
    pub angular_acceleration_rad_s2: f64,
    pub position_m: [f64; 2],
    pub velocity_m_s: [f64; 2],
    pub acceleration_m_s2: [f64; 2],
}

/// `[theta in degrees, omega, alpha, x, vx, ax, y, vy, ay]`, as printed.
fn row(frame: usize, r: [f64; 9]) -> Row {
    Row {
        frame,
        angle_rad: r[0].to_radians(),
        angular_velocity_rad_s: r[1],
        angular_acceleration_rad_s2: r[2],
        position_m: [r[3], r[6]],
        velocity_m_s: [r[4], r[7]],
        acceleration_m_s2: [r[5], r[8]],
    }
}

/// Foot, leg and thigh at frames 10 and 20. Source: Winter 2009, Table A.3.
pub fn rows() -> [[Row; 3]; 2] {
    [
        [
            row(10, [104.9, 6.93, 10.88, 0.497, 3.923, 6.90, 0.152, -0.761, -3.80]),
            row(10, [51.0, 4.90, 30.50, 0.624, 2.727, -1.52, 0.386, -0.045, -4.42]),
            row(10, [109.2, 2.58, -28.82, 0.673, 1.691, -2.31, 0.689, 0.417, -2.60]),
        ],
        [
            row(20, [160.4, 6.08, -34.96, 1.075, 3.539, -18.79, 0.097, 0.284, 5.61]),
            row(20, [97.4, 5.16, -31.54, 0.986, 2.171, -7.72, 0.355, -0.243, 0.87]),
            row(20, [114.6, -0.91, -11.04, 0.889, 1.392, 0.42, 0.696, -0.326, -2.51]),
        ],
    ]
}

/// Foot, leg and thigh with the appendix's own masses, and inertias fitted to its rotational energies
/// (Table A.6): 0.0028, 0.0351 and 0.0543 kg m2.
pub fn segments() -> [Segment; 3] {
    let of = |joint| End::Of(joint, Side::Near);
    let segment = |name,
                   [from, to]: [Joint; 2],
                   [mass_kg, centre_fraction, inertia_kg_m2]: [f64; 3]| Segment {
        name,
        limb: Limb::NearLeg,
        from: of(from),
        to: of(to),
        mass_kg,
        centre_fraction,
        inertia_kg_m2,
    };
    [
        segment("foot", [Joint::Ankle, Joint::Toe], [FOOT_KG, 0.5, 0.0028]),
        segment("leg", [Joint::Knee, Joint::Ankle], [LEG_KG, 0.433, 0.0351]),
        segment("thigh", [Joint::Hip, Joint::Knee], [THIGH_KG, 0.433, 0.0543]),
    ]
}

/// The markers at the ends of foot, leg and thigh, proximal first.
pub const ENDS: [(Marker, Marker); 3] =
    [(Marker::Ankle, Marker::Mt5), (Marker::Knee, Marker::Ankle), (Marker::Hip, Marker::Knee)];
