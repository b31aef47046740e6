//! The leg in swing: smooth curves of thigh, knee and ankle from toe-off to the next contact.

use super::schedule::Step;
use super::spline::Spline;
use super::style::{Style, Waypoint};
use crate::body::{LegAngles, Proportions};

/// A leg at one moment: angles and angular velocities.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LegState {
    /// The angles.
    pub angles: LegAngles,
    /// The angular velocities in rad/s, each in the field of its angle.
    pub rates: LegAngles,
}

/// Both ends of a swing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwingEnds {
    /// The leg at toe-off.
    pub toe_off: LegState,
    /// The leg just before contact.
    pub contact: LegState,
}

/// Chosen: velocity of the ankle relative to the belt just before contact, forward and up.
const LANDING_M_S: (f64, f64) = (0.25, -0.30);

impl LegState {
    /// The state just before contact, from that just after: the foot lands with a small velocity,
    /// which it loses at once.
    #[must_use]
    pub fn before_landing(mut self, lengths: &Proportions) -> Self {
        let (thigh, shank) = (self.angles.thigh_rad, self.angles.shank_rad);
        let (ax, ay) = (lengths.thigh_m * thigh.cos(), lengths.thigh_m * thigh.sin());
        let (bx, by) = (lengths.shank_m * shank.cos(), lengths.shank_m * shank.sin());
        let scale = ax * by - ay * bx;
        self.rates.thigh_rad += (LANDING_M_S.0 * by - LANDING_M_S.1 * bx) / scale;
        self.rates.shank_rad += (LANDING_M_S.1 * ax - LANDING_M_S.0 * ay) / scale;
        self
    }
}

/// One swing of one leg.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Swing {
    thigh: Spline,
    knee: Spline,
    ankle: Spline,
}

impl Swing {
    /// The swing from toe-off to the next contact.
    #[must_use]
    pub fn between(style: &Style, step: &Step, next_contact_s: f64, ends: SwingEnds) -> Self {
        let (from_s, to_s) = (step.toe_off_s, next_contact_s);
        let curve = |angle: fn(&LegAngles) -> f64, points: &[Waypoint], ratio: f64| {
            let mut knots = vec![(from_s, angle(&ends.toe_off.angles))];
            knots.extend(
                points
                    .iter()
                    .map(|p| (from_s + p.at_fraction * (to_s - from_s), ratio * p.angle_rad)),
            );
            knots.push((to_s, angle(&ends.contact.angles)));
            Spline::clamped(&knots, angle(&ends.toe_off.rates), angle(&ends.contact.rates))
        };
        Self {
            thigh: curve(|a| a.thigh_rad, &style.thigh_swing, 1.0),
            knee: curve(|a| a.thigh_rad - a.shank_rad, &style.knee_swing, step.fold_ratio),
            ankle: curve(|a| a.foot_rad - a.shank_rad, &style.ankle_swing, 1.0),
        }
    }

    /// The angles at a time.
    #[must_use]
    pub fn angles(&self, time_s: f64) -> LegAngles {
        let thigh_rad = self.thigh.value(time_s);
        let shank_rad = thigh_rad - self.knee.value(time_s);
        LegAngles { thigh_rad, shank_rad, foot_rad: shank_rad + self.ankle.value(time_s) }
    }
}
