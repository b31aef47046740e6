//! A posture as joint angles, and the landmarks that follow from it.

use super::point::Point;
use super::proportions::{Proportions, SegmentParameters};
use super::shoe::Shoe;
use super::side::{Pair, Side};

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
    /// Position of the hips.
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

/// Landmarks of a leg below the hip.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[allow(missing_docs, reason = "each is the landmark it names")]
pub struct Leg {
    pub knee: Point,
    pub ankle: Point,
    pub heel: Point,
    pub toe: Point,
}

/// Landmarks of an arm below the shoulder; the hand is the tip of its fingers.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[allow(missing_docs, reason = "each is the landmark it names")]
pub struct Arm {
    pub elbow: Point,
    pub wrist: Point,
    pub hand: Point,
}

/// Positions of all landmarks in one posture.
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
    /// The landmarks of a posture.
    #[must_use]
    pub fn of(pose: &Pose, lengths: &Proportions, shoe: &Shoe) -> Self {
        let shoulder = pose.hip.offset(Point::new(0.0, lengths.trunk_m), -pose.trunk_rad);
        let head = shoulder.offset(Point::new(0.0, lengths.shoulder_to_ear_m), -pose.head_rad);
        let legs = Pair::each(|side| leg(pose.hip, pose.legs.of(side), lengths, shoe));
        let arms = Pair::each(|side| {
            let angles = pose.arms.of(side);
            let elbow = shoulder.hanging(lengths.upper_arm_m, angles.upper_rad);
            let wrist = elbow.hanging(lengths.forearm_m, angles.forearm_rad);
            // Chosen: 0.6 of the length of the hand, because the fingers are curled.
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

/// The centre of mass of the whole body: the sum of mass fraction times segment centre.
#[must_use]
pub fn centre_of_mass(skeleton: &Skeleton) -> Point {
    let mut sum = Point::default();
    let mut add = |segment: SegmentParameters, first: Point, second: Point| {
        let centre = first.towards(second, segment.centre_fraction);
        sum.x_m += segment.mass_fraction * centre.x_m;
        sum.y_m += segment.mass_fraction * centre.y_m;
    };
    add(SegmentParameters::TRUNK_AND_HEAD, skeleton.hip, skeleton.shoulder);
    for side in [Side::Near, Side::Far] {
        let (leg, arm) = (skeleton.legs.of(side), skeleton.arms.of(side));
        add(SegmentParameters::THIGH, skeleton.hip, leg.knee);
        add(SegmentParameters::SHANK, leg.knee, leg.ankle);
        add(SegmentParameters::FOOT, leg.ankle, leg.toe);
        add(SegmentParameters::UPPER_ARM, skeleton.shoulder, arm.elbow);
        add(SegmentParameters::FOREARM_AND_HAND, arm.elbow, arm.wrist);
    }
    sum
}
