//! The landmarks of the body that a person marks, and the sets of them that make an analysis.

use crate::space::Side;
use serde::{Deserialize, Serialize};

/// What a landmark is, whichever side it is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Joint {
    /// Ear canal.
    Head,
    /// Spine of the seventh cervical vertebra.
    Neck,
    /// Shoulder joint, about 5 cm below the acromion.
    Shoulder,
    /// Lateral epicondyle of the humerus.
    Elbow,
    /// Styloid process of the ulna.
    Wrist,
    /// Greater trochanter.
    Hip,
    /// Lateral epicondyle of the femur.
    Knee,
    /// Lateral malleolus.
    Ankle,
    /// Back of the heel.
    Heel,
    /// Head of the fifth metatarsal.
    Toe,
}

/// A landmark on one side of the body. The head and the neck are in the middle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "each is a side and a joint, both documented")]
pub enum Landmark {
    Head,
    Neck,
    NearShoulder,
    NearElbow,
    NearWrist,
    NearHip,
    NearKnee,
    NearAnkle,
    NearHeel,
    NearToe,
    FarShoulder,
    FarElbow,
    FarWrist,
    FarHip,
    FarKnee,
    FarAnkle,
    FarHeel,
    FarToe,
}

use Landmark as L;

impl Landmark {
    /// Every landmark, in the order of the declaration.
    pub const ALL: [Landmark; 18] = [
        L::Head,
        L::Neck,
        L::NearShoulder,
        L::NearElbow,
        L::NearWrist,
        L::NearHip,
        L::NearKnee,
        L::NearAnkle,
        L::NearHeel,
        L::NearToe,
        L::FarShoulder,
        L::FarElbow,
        L::FarWrist,
        L::FarHip,
        L::FarKnee,
        L::FarAnkle,
        L::FarHeel,
        L::FarToe,
    ];

    /// The side it is on; none for the head and the neck.
    #[must_use]
    pub fn side(self) -> Option<Side> {
        match self {
            L::Head | L::Neck => None,
            _ if self < L::FarShoulder => Some(Side::Near),
            _ => Some(Side::Far),
        }
    }

    /// What it is.
    #[must_use]
    pub fn joint(self) -> Joint {
        match self {
            L::Head => Joint::Head,
            L::Neck => Joint::Neck,
            L::NearShoulder | L::FarShoulder => Joint::Shoulder,
            L::NearElbow | L::FarElbow => Joint::Elbow,
            L::NearWrist | L::FarWrist => Joint::Wrist,
            L::NearHip | L::FarHip => Joint::Hip,
            L::NearKnee | L::FarKnee => Joint::Knee,
            L::NearAnkle | L::FarAnkle => Joint::Ankle,
            L::NearHeel | L::FarHeel => Joint::Heel,
            L::NearToe | L::FarToe => Joint::Toe,
        }
    }

    /// Its name in a sentence: `the near knee`, `the head`.
    #[must_use]
    pub fn in_words(self) -> String {
        let joint = match self.joint() {
            Joint::Head => "head",
            Joint::Neck => "neck",
            Joint::Shoulder => "shoulder",
            Joint::Elbow => "elbow",
            Joint::Wrist => "wrist",
            Joint::Hip => "hip",
            Joint::Knee => "knee",
            Joint::Ankle => "ankle",
            Joint::Heel => "heel",
            Joint::Toe => "forefoot",
        };
        match self.side() {
            None => format!("the {joint}"),
            Some(Side::Near) => format!("the near {joint}"),
            Some(Side::Far) => format!("the far {joint}"),
        }
    }

    /// The landmark of this joint on this side; the head and the neck for either side.
    #[must_use]
    pub fn of(joint: Joint, side: Side) -> Landmark {
        let (near, far) = match joint {
            Joint::Head => return L::Head,
            Joint::Neck => return L::Neck,
            Joint::Shoulder => (L::NearShoulder, L::FarShoulder),
            Joint::Elbow => (L::NearElbow, L::FarElbow),
            Joint::Wrist => (L::NearWrist, L::FarWrist),
            Joint::Hip => (L::NearHip, L::FarHip),
            Joint::Knee => (L::NearKnee, L::FarKnee),
            Joint::Ankle => (L::NearAnkle, L::FarAnkle),
            Joint::Heel => (L::NearHeel, L::FarHeel),
            Joint::Toe => (L::NearToe, L::FarToe),
        };
        if side == Side::Near { near } else { far }
    }

    /// Its place in [`Landmark::ALL`].
    #[must_use]
    pub fn index(self) -> usize {
        self as usize
    }
}

/// Which landmarks are marked; the more, the more can be said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MarkerSet {
    /// The near leg and the near shoulder.
    Legs,
    /// The whole near side: leg, arm and head.
    NearSide,
    /// Both sides and the head.
    BothSides,
}

impl MarkerSet {
    /// Its landmarks in the order in which they are best placed.
    #[must_use]
    pub fn landmarks(self) -> &'static [Landmark] {
        const NEAR: [Landmark; 9] = [
            L::NearHip,
            L::NearKnee,
            L::NearAnkle,
            L::NearHeel,
            L::NearToe,
            L::NearShoulder,
            L::NearElbow,
            L::NearWrist,
            L::Head,
        ];
        const BOTH: [Landmark; 17] = [
            L::NearHip,
            L::NearKnee,
            L::NearAnkle,
            L::NearHeel,
            L::NearToe,
            L::NearShoulder,
            L::NearElbow,
            L::NearWrist,
            L::Head,
            L::FarHip,
            L::FarKnee,
            L::FarAnkle,
            L::FarHeel,
            L::FarToe,
            L::FarShoulder,
            L::FarElbow,
            L::FarWrist,
        ];
        match self {
            MarkerSet::Legs => NEAR.split_at(6).0,
            MarkerSet::NearSide => &NEAR,
            MarkerSet::BothSides => &BOTH,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn joint_and_side_name_the_landmark_and_its_place() {
        for (place, landmark) in Landmark::ALL.into_iter().enumerate() {
            assert_eq!(landmark.index(), place);
            for side in [Side::Near, Side::Far] {
                let found = Landmark::of(landmark.joint(), side);
                assert_eq!(found.joint(), landmark.joint());
                assert!(found.side().is_none_or(|s| s == side));
            }
        }
    }
}
