//! The landmarks of the body that a person marks, and the marker sets that an analysis accepts.

use crate::space::Side;
use serde::{Deserialize, Serialize};
use std::fmt;

/// An anatomical point, on either side.
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

/// A landmark on one side of the body; head and neck lie in the middle. Displayed as in a sentence: `the near knee`.
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

    /// Its side; none for head and neck.
    #[must_use]
    pub fn side(self) -> Option<Side> {
        match self {
            L::Head | L::Neck => None,
            _ if self < L::FarShoulder => Some(Side::Near),
            _ => Some(Side::Far),
        }
    }

    /// Its anatomical point.
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

    /// The landmark of this joint on this side; head and neck for either side.
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

    /// Its index in [`Landmark::ALL`].
    #[must_use]
    pub fn index(self) -> usize {
        self as usize
    }
}

impl fmt::Display for Landmark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
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
            None => write!(f, "the {joint}"),
            Some(Side::Near) => write!(f, "the near {joint}"),
            Some(Side::Far) => write!(f, "the far {joint}"),
        }
    }
}

/// Which landmarks are marked; more landmarks give more measures.
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
    /// Its landmarks, in the best order for placing them.
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
    fn joint_and_side_give_back_the_landmark_and_all_lists_it_at_its_index() {
        for (index, landmark) in Landmark::ALL.into_iter().enumerate() {
            assert_eq!(landmark.index(), index);
            for side in [Side::Near, Side::Far] {
                let found = Landmark::of(landmark.joint(), side);
                assert_eq!(found.joint(), landmark.joint());
                assert!(found.side().is_none_or(|s| s == side));
            }
        }
    }
}
