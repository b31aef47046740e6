//! The leg in the air: smooth curves of thigh, knee and ankle from toe-off to the next contact.

use super::spline::Spline;
use super::style::Waypoint;
use super::{Step, Style};
use crate::body::{LegAngles, Proportions};

/// A leg at the end of its contact or at the beginning of the next one: angles and their rates.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Hold {
    /// The angles.
    pub angles: LegAngles,
    /// Their rates, in rad/s in the same places.
    pub rates: LegAngles,
}

/// Chosen: velocity of the ankle relative to the belt just before it lands, forward and up.
const ARRIVAL_M_S: (f64, f64) = (0.25, -0.30);

impl Hold {
    /// The rates just before landing, from those just after: the foot arrives with a small
    /// velocity that the belt takes away.
    #[must_use]
    pub fn arriving(mut self, lengths: &Proportions) -> Self {
        let (thigh, shank) = (self.angles.thigh_rad, self.angles.shank_rad);
        let (ax, ay) = (lengths.thigh_m * thigh.cos(), lengths.thigh_m * thigh.sin());
        let (bx, by) = (lengths.shank_m * shank.cos(), lengths.shank_m * shank.sin());
        let scale = ax * by - ay * bx;
        self.rates.thigh_rad += (ARRIVAL_M_S.0 * by - ARRIVAL_M_S.1 * bx) / scale;
        self.rates.shank_rad += (ARRIVAL_M_S.1 * ax - ARRIVAL_M_S.0 * ay) / scale;
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
    /// The swing that leads from leaving the belt to landing on it.
    #[must_use]
    pub fn between(style: &Style, step: &Step, next_contact_s: f64, ends: (Hold, Hold)) -> Self {
        let (from_s, to_s) = (step.toe_off_s, next_contact_s);
        let curve = |angle: fn(&LegAngles) -> f64, points: &[Waypoint], ratio: f64| {
            let mut knots = vec![(from_s, angle(&ends.0.angles))];
            knots.extend(
                points
                    .iter()
                    .map(|p| (from_s + p.at_fraction * (to_s - from_s), ratio * p.angle_rad)),
            );
            knots.push((to_s, angle(&ends.1.angles)));
            Spline::clamped(&knots, angle(&ends.0.rates), angle(&ends.1.rates))
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
