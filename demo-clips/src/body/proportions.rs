//! Lengths of the segments from the body height, and their masses.

/// Chosen: the height of the invented runner, in metres.
pub const HEIGHT_M: f64 = 1.74;
/// Chosen: the mass of the invented runner, in kilograms.
pub const MASS_KG: f64 = 66.0;

/// Lengths of the segments, in metres.
///
/// Source: Drillis and Contini 1966, as fractions of the height, in Winter,
/// Biomechanics and Motor Control of Human Movement, 4th ed., 2009, Fig. 4.1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proportions {
    /// Greater trochanter to the lateral epicondyle of the femur: 0.245 of the height.
    pub thigh_m: f64,
    /// Lateral epicondyle to the lateral malleolus: 0.246 of the height.
    pub shank_m: f64,
    /// Lateral malleolus above the sole of the bare foot: 0.039 of the height.
    pub ankle_height_m: f64,
    /// Shoulder to elbow: 0.186 of the height.
    pub upper_arm_m: f64,
    /// Elbow to wrist: 0.146 of the height.
    pub forearm_m: f64,
    /// Wrist to the tip of the fingers: 0.108 of the height.
    pub hand_m: f64,
    /// Hip to shoulder: 0.818 less 0.530 of the height.
    pub trunk_m: f64,
    /// Shoulder to the ear canal: 0.936 (eye level) less 0.818 of the height.
    pub shoulder_to_ear_m: f64,
}

impl Proportions {
    /// The lengths of a body of a height.
    #[must_use]
    pub fn of_height(height_m: f64) -> Self {
        Self {
            thigh_m: 0.245 * height_m,
            shank_m: 0.246 * height_m,
            ankle_height_m: 0.039 * height_m,
            upper_arm_m: 0.186 * height_m,
            forearm_m: 0.146 * height_m,
            hand_m: 0.108 * height_m,
            trunk_m: (0.818 - 0.530) * height_m,
            shoulder_to_ear_m: (0.936 - 0.818) * height_m,
        }
    }
}

/// Mass, centre of mass and radius of gyration of a segment.
///
/// Source: Winter 2009, Table 4.1, after Dempster 1955.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SegmentParameters {
    /// Mass over the mass of the body.
    pub mass_fraction: f64,
    /// Distance of the centre of mass from the first end over the length.
    pub centre_fraction: f64,
    /// Radius of gyration about the centre of mass over the length.
    pub gyration_fraction: f64,
}

impl SegmentParameters {
    /// Thigh, from the greater trochanter to the femoral condyles.
    pub const THIGH: SegmentParameters = SegmentParameters::new(0.100, 0.433, 0.323);
    /// Shank, from the femoral condyles to the malleolus.
    pub const SHANK: SegmentParameters = SegmentParameters::new(0.0465, 0.433, 0.302);
    /// Foot, from the malleolus to the head of the metatarsals.
    pub const FOOT: SegmentParameters = SegmentParameters::new(0.0145, 0.50, 0.475);
    /// Upper arm, from the shoulder to the elbow.
    pub const UPPER_ARM: SegmentParameters = SegmentParameters::new(0.028, 0.436, 0.322);
    /// Forearm and hand, from the elbow to the ulnar styloid.
    pub const FOREARM_AND_HAND: SegmentParameters = SegmentParameters::new(0.022, 0.682, 0.468);
    /// Trunk, head and neck, from the greater trochanter to the shoulder.
    pub const TRUNK_AND_HEAD: SegmentParameters = SegmentParameters::new(0.578, 0.66, 0.503);

    const fn new(mass_fraction: f64, centre_fraction: f64, gyration_fraction: f64) -> Self {
        Self { mass_fraction, centre_fraction, gyration_fraction }
    }
}
