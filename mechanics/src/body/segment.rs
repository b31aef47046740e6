//! One rigid segment between two landmarks: its mass, centre, inertia and motion.

use crate::landmark::Joint;
use crate::signal::State;
use crate::space::Side;
use nalgebra::Vector2;

/// A part of the body within which segments may transfer energy to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Limb {
    /// Thigh, shank and foot towards the camera.
    NearLeg,
    /// Thigh, shank and foot away from the camera.
    FarLeg,
    /// Upper arm, forearm and hand towards the camera.
    NearArm,
    /// Upper arm, forearm and hand away from the camera.
    FarArm,
    /// Trunk with neck and head.
    Trunk,
}

/// An end of a segment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// At the landmark of this joint on this side.
    Of(Joint, Side),
    /// Half-way between this joint's landmarks of both sides.
    Middle(Joint),
}

/// A rigid segment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// Its name in words.
    pub name: &'static str,
    /// The limb it belongs to.
    pub limb: Limb,
    /// First end.
    pub from: End,
    /// Second end.
    pub to: End,
    /// Mass.
    pub mass_kg: f64,
    /// Position of the centre of mass on the line from the first (0) to the second end (1); above 1 it lies beyond
    /// the second.
    pub centre_fraction: f64,
    /// Moment of inertia about the centre of mass, mediolateral axis.
    pub inertia_kg_m2: f64,
}

/// The motion of a segment at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SegmentMotion {
    /// Motion of its centre of mass.
    pub centre: State,
    /// The vector from the first to the second end.
    pub along_m: Vector2<f64>,
    /// Angular velocity.
    pub angular_velocity_rad_s: f64,
    /// Angular acceleration.
    pub angular_acceleration_rad_s2: f64,
}

impl SegmentMotion {
    /// Angle of the vector from the first to the second end, counter-clockwise from forward: `atan2(dy, dx)`.
    #[must_use]
    pub fn angle_rad(&self) -> f64 {
        self.along_m.y.atan2(self.along_m.x)
    }
}

impl Segment {
    /// The motion of the segment that follows from the motion of its ends.
    ///
    /// With d the vector from the first to the second end: `w = d x d' / |d|^2`,
    /// `a = d x d'' / |d|^2 - 2 w (d.d') / |d|^2`. A segment without length does not turn.
    #[must_use]
    pub fn motion(&self, from: State, to: State) -> SegmentMotion {
        let d = to.position_m - from.position_m;
        let v = to.velocity_m_s - from.velocity_m_s;
        let a = to.acceleration_m_s2 - from.acceleration_m_s2;
        let square = d.norm_squared().max(f64::MIN_POSITIVE);
        let angular_velocity_rad_s = d.perp(&v) / square;
        SegmentMotion {
            centre: from.blend(to, self.centre_fraction),
            along_m: d,
            angular_velocity_rad_s,
            angular_acceleration_rad_s2: d.perp(&a) / square
                - 2.0 * angular_velocity_rad_s * d.dot(&v) / square,
        }
    }
}
