//! The runner's body: lengths and masses of the segments, and where they are in one posture.

mod point;
mod pose;
mod proportions;
mod shoe;
mod side;

pub use point::Point;
pub use pose::{Arm, ArmAngles, Leg, LegAngles, Pose, Skeleton, centre_of_mass};
pub use proportions::{HEIGHT_M, MASS_KG, Proportions, SegmentParameters};
pub use shoe::{HEEL_END_M, Shoe, TOE_ARC_RAD};
pub use side::{Pair, Side};
