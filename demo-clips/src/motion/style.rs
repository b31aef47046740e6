//! The two running styles, as the parameters that define them.

use crate::noise::Draws;

/// A running style at one belt speed. Angles as in [`crate::body::Pose`]; knee flexion positive.
///
/// Source: the ranges of the shapes are those of treadmill runners at 2.5 to 2.8 m/s in
/// Fukuchi et al., PeerJ 5:e3298, 2017 (peak knee flexion in swing 93 ± 10 degrees, range 74 to
/// 114, at 69 % of the stride; in stance 41 ± 6; thigh +33 to -16 at 2.5 m/s and +43 to -33 at
/// 3.5; contact 0.24 to 0.31 s; 156 to 175 steps/min; hips rising and falling by 0.11 m). The
/// numbers themselves are chosen, so that a person can see the difference between the two styles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// Speed of the belt.
    pub speed_m_s: f64,
    /// Time from the contact of one foot to the contact of the other.
    pub step_s: f64,
    /// Contact time.
    pub contact_s: f64,
    /// Phase of the near leg's stride in the first frame, from its contact.
    pub first_frame_fraction: f64,
    /// Distance of the ball of the foot ahead of the centre of mass at contact.
    pub landing_m: f64,
    /// Forward speed of the centre of mass in flight, relative to its mean.
    pub glide_m_s: f64,
    /// Knee flexion at contact.
    pub knee_at_contact_rad: f64,
    /// Knee flexion at toe-off.
    pub knee_at_toe_off_rad: f64,
    /// Pitch of the foot at contact; toes down is negative.
    pub foot_at_contact_rad: f64,
    /// Pitch of the foot at toe-off; toes down is negative.
    pub foot_at_toe_off_rad: f64,
    /// Thigh in swing.
    pub thigh_swing: [Waypoint; 2],
    /// Knee flexion in swing.
    pub knee_swing: [Waypoint; 3],
    /// Foot relative to the shank in swing, toes up positive.
    pub ankle_swing: [Waypoint; 3],
    /// Lean of the trunk.
    pub lean_rad: f64,
    /// Swing of the upper arm.
    pub upper_arm: Oscillation,
    /// Flexion of the elbow.
    pub elbow: Oscillation,
    /// Standard deviation from stride to stride, as a fraction.
    pub variation_fraction: f64,
}

/// An angle that swings to and fro once a stride.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Oscillation {
    /// Middle of the swing.
    pub middle_rad: f64,
    /// Amplitude to either side.
    pub amplitude_rad: f64,
}

const fn about(middle_rad: f64, amplitude_rad: f64) -> Oscillation {
    Oscillation { middle_rad, amplitude_rad }
}

/// An angle at one moment of the swing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Waypoint {
    /// Phase between toe-off (0) and contact (1).
    pub at_fraction: f64,
    /// The angle there.
    pub angle_rad: f64,
}

const fn at(at_fraction: f64, angle_rad: f64) -> Waypoint {
    Waypoint { at_fraction, angle_rad }
}

impl Style {
    /// Heels carried low: little knee flexion in swing. Chosen: within the ranges at [`Style`].
    pub const HEELS_LOW: Style = Style {
        speed_m_s: 2.8,
        step_s: 60.0 / 158.0,
        contact_s: 0.250,
        first_frame_fraction: 0.44,
        landing_m: 0.290,
        glide_m_s: 0.075,
        knee_at_contact_rad: 0.34,
        knee_at_toe_off_rad: 0.34,
        foot_at_contact_rad: -0.12,
        foot_at_toe_off_rad: -0.82,
        thigh_swing: [at(0.30, 0.02), at(0.70, 0.53)],
        knee_swing: [at(0.22, 0.84), at(0.50, 1.32), at(0.78, 1.05)],
        ankle_swing: [at(0.30, -0.12), at(0.60, 0.22), at(0.85, 0.06)],
        lean_rad: 0.11,
        upper_arm: about(-0.42, 0.50),
        elbow: about(1.42, 0.22),
        variation_fraction: 0.007,
    };

    /// The leg folding freely: the heel rises behind, the thigh swings further forward. Chosen: within the
    /// ranges at [`Style`].
    pub const LEG_FOLDING: Style = Style {
        step_s: 60.0 / 164.0,
        contact_s: 0.238,
        first_frame_fraction: 0.41,
        landing_m: 0.276,
        knee_swing: [at(0.22, 1.10), at(0.48, 1.80), at(0.78, 1.01)],
        thigh_swing: [at(0.30, 0.02), at(0.70, 0.64)],
        upper_arm: about(-0.42, 0.46),
        ankle_swing: [at(0.30, -0.18), at(0.60, 0.12), at(0.85, 0.00)],
        ..Style::HEELS_LOW
    };

    /// A style between this one (0) and another (1).
    #[must_use]
    pub fn towards(&self, other: &Style, share_fraction: f64) -> Style {
        let mix = |a: f64, b: f64| a + share_fraction * (b - a);
        let point = |a: Waypoint, b: Waypoint| {
            at(mix(a.at_fraction, b.at_fraction), mix(a.angle_rad, b.angle_rad))
        };
        Style {
            step_s: mix(self.step_s, other.step_s),
            contact_s: mix(self.contact_s, other.contact_s),
            first_frame_fraction: mix(self.first_frame_fraction, other.first_frame_fraction),
            landing_m: mix(self.landing_m, other.landing_m),
            knee_swing: [0, 1, 2].map(|i| point(self.knee_swing[i], other.knee_swing[i])),
            thigh_swing: [0, 1].map(|i| point(self.thigh_swing[i], other.thigh_swing[i])),
            ankle_swing: [0, 1, 2].map(|i| point(self.ankle_swing[i], other.ankle_swing[i])),
            upper_arm: about(
                mix(self.upper_arm.middle_rad, other.upper_arm.middle_rad),
                mix(self.upper_arm.amplitude_rad, other.upper_arm.amplitude_rad),
            ),
            ..*self
        }
    }

    /// The style with small changes of every amplitude; the seed 0 changes nothing.
    #[must_use]
    pub fn varied(mut self, seed: u64) -> Self {
        if seed == 0 {
            return self;
        }
        let mut draws = Draws::new(seed, 71);
        let mut factor = |spread: f64| 1.0 + spread * draws.normal();
        let time_ratio = factor(0.008);
        self.step_s *= time_ratio;
        self.contact_s *= time_ratio;
        self.landing_m *= time_ratio;
        self.first_frame_fraction += 0.01 * (factor(1.0) - 1.0);
        // With less flexion of knee or thigh the toes would drag on the belt when the heels stay low.
        let (knee, thigh) = (factor(0.03).max(1.0) + 0.01, factor(0.03).max(1.0));
        self.knee_swing = self.knee_swing.map(|p| at(p.at_fraction, p.angle_rad * knee));
        self.thigh_swing = self.thigh_swing.map(|p| at(p.at_fraction, p.angle_rad * thigh));
        self.lean_rad *= factor(0.1);
        self.upper_arm.amplitude_rad *= factor(0.08);
        self
    }
}
