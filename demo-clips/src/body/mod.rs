//! The runner's body: how long and how heavy its parts are, and where they are in one posture.

mod pose;
mod proportions;
mod shoe;

pub use pose::{Arm, ArmAngles, Leg, LegAngles, Pair, Point, Pose, Side, Skeleton, centre_of_mass};
pub use proportions::{HEIGHT_M, MASS_KG, Proportions, Share};
pub use shoe::{HEEL_END_M, Shoe, TOE_ARC_RAD};
