//! A posture as angles, and the joints that follow from it.

use super::{Proportions, Share, Shoe};

/// A place in the plane of motion: x forward, y up, in metres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Forward.
    pub x_m: f64,
    /// Up, from the surface of the belt.
    pub y_m: f64,
}

impl Point {
    /// The point at these coordinates.
    #[must_use]
    pub const fn new(x_m: f64, y_m: f64) -> Self {
        Self { x_m, y_m }
    }

    /// The point this far from here in a direction measured from straight down, forward positive.
    #[must_use]
    pub fn hanging(self, length_m: f64, angle_rad: f64) -> Self {
        Self::new(self.x_m + length_m * angle_rad.sin(), self.y_m - length_m * angle_rad.cos())
    }

    /// The point moved by an offset given in a frame turned counter-clockwise by an angle.
    #[must_use]
    pub fn offset(self, local: Point, angle_rad: f64) -> Self {
        let (sine, cosine) = angle_rad.sin_cos();
        Self::new(
            self.x_m + local.x_m * cosine - local.y_m * sine,
            self.y_m + local.x_m * sine + local.y_m * cosine,
        )
    }

    /// The point this fraction of the way to another one.
    #[must_use]
    pub fn towards(self, other: Point, fraction: f64) -> Self {
        Self::new(
            self.x_m + fraction * (other.x_m - self.x_m),
            self.y_m + fraction * (other.y_m - self.y_m),
        )
    }

    /// The distance to another point, in metres.
    #[must_use]
    pub fn distance_m(self, other: Point) -> f64 {
        (other.x_m - self.x_m).hypot(other.y_m - self.y_m)
    }
}

/// The side towards the camera and the side away from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Towards the camera.
    Near,
    /// Away from the camera.
    Far,
}

/// One of each side.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pair<T> {
    /// The one towards the camera.
    pub near: T,
    /// The one away from the camera.
    pub far: T,
}

impl<T: Copy> Pair<T> {
    /// Makes one for each side.
    pub fn each(mut make: impl FnMut(Side) -> T) -> Self {
        Self { near: make(Side::Near), far: make(Side::Far) }
    }

    /// The one of this side.
    #[must_use]
    pub fn of(&self, side: Side) -> T {
        match side {
            Side::Near => self.near,
            Side::Far => self.far,
        }
    }
}

/// Angles of a leg: thigh and shank from straight down, foot from the horizontal, forward and toes up positive.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[allow(missing_docs, reason = "the three angles are explained above")]
pub struct LegAngles {
    pub thigh_rad: f64,
    pub shank_rad: f64,
    pub foot_rad: f64,
}

/// Angles of an arm from straight down, forward positive.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[allow(missing_docs, reason = "the two angles are explained above")]
pub struct ArmAngles {
    pub upper_rad: f64,
    pub forearm_rad: f64,
}

/// One posture.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pose {
    /// Where the hips are.
    pub hip: Point,
    /// Lean of the trunk, forward positive.
    pub trunk_rad: f64,
    /// Lean of the line from the shoulder to the ear, forward positive.
    pub head_rad: f64,
    /// Both legs.
    pub legs: Pair<LegAngles>,
    /// Both arms.
    pub arms: Pair<ArmAngles>,
}

/// The landmarks of a leg below the hip.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[allow(missing_docs, reason = "each is the landmark it names")]
pub struct Leg {
    pub knee: Point,
    pub ankle: Point,
    pub heel: Point,
    pub toe: Point,
}

/// The landmarks of an arm below the shoulder; the hand is the tip of its fingers.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[allow(missing_docs, reason = "each is the landmark it names")]
pub struct Arm {
    pub elbow: Point,
    pub wrist: Point,
    pub hand: Point,
}

/// Where everything is in one posture.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[allow(missing_docs, reason = "each is the landmark it names")]
pub struct Skeleton {
    pub hip: Point,
    pub shoulder: Point,
    pub head: Point,
    pub legs: Pair<Leg>,
    pub arms: Pair<Arm>,
}

impl Skeleton {
    /// The joints of a posture.
    #[must_use]
    pub fn of(pose: &Pose, lengths: &Proportions, shoe: &Shoe) -> Self {
        let shoulder = pose.hip.offset(Point::new(0.0, lengths.trunk_m), -pose.trunk_rad);
        let head = shoulder.offset(Point::new(0.0, lengths.shoulder_to_ear_m), -pose.head_rad);
        let legs = Pair::each(|side| leg(pose.hip, pose.legs.of(side), lengths, shoe));
        let arms = Pair::each(|side| {
            let angles = pose.arms.of(side);
            let elbow = shoulder.hanging(lengths.upper_arm_m, angles.upper_rad);
            let wrist = elbow.hanging(lengths.forearm_m, angles.forearm_rad);
            // Chosen: the fingers are curled, so the hand reaches 0.6 of its length.
            Arm { elbow, wrist, hand: wrist.hanging(0.6 * lengths.hand_m, angles.forearm_rad) }
        });
        Self { hip: pose.hip, shoulder, head, legs, arms }
    }
}

fn leg(hip: Point, angles: LegAngles, lengths: &Proportions, shoe: &Shoe) -> Leg {
    let knee = hip.hanging(lengths.thigh_m, angles.thigh_rad);
    let ankle = knee.hanging(lengths.shank_m, angles.shank_rad);
    Leg {
        knee,
        ankle,
        heel: ankle.offset(shoe.heel_marker(), angles.foot_rad),
        toe: ankle.offset(shoe.toe_marker(), angles.foot_rad),
    }
}

/// The centre of mass of the whole body: sum of mass fraction times segment centre.
#[must_use]
pub fn centre_of_mass(skeleton: &Skeleton) -> Point {
    let mut sum = Point::default();
    let mut add = |share: Share, first: Point, second: Point| {
        let centre = first.towards(second, share.centre_fraction);
        sum.x_m += share.mass_fraction * centre.x_m;
        sum.y_m += share.mass_fraction * centre.y_m;
    };
    add(Share::TRUNK_AND_HEAD, skeleton.hip, skeleton.shoulder);
    for side in [Side::Near, Side::Far] {
        let (leg, arm) = (skeleton.legs.of(side), skeleton.arms.of(side));
        add(Share::THIGH, skeleton.hip, leg.knee);
        add(Share::SHANK, leg.knee, leg.ankle);
        add(Share::FOOT, leg.ankle, leg.toe);
        add(Share::UPPER_ARM, skeleton.shoulder, arm.elbow);
        add(Share::FOREARM_AND_HAND, arm.elbow, arm.wrist);
    }
    sum
}
