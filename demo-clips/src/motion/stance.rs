//! The leg in contact: the foot moves with the belt, and thigh and shank reach from the hip to it.

use super::schedule::Step;
use super::style::Style;
use crate::body::{LegAngles, Point, Proportions, Shoe};

/// Chosen: the foot is flat from this fraction of the contact …
const FLAT_FROM_FRACTION: f64 = 0.22;
/// Chosen: … to this one, and then rolls over the toes.
const FLAT_TO_FRACTION: f64 = 0.42;

/// A foot on the belt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlantedFoot {
    /// Pitch; toes down is negative.
    pub foot_rad: f64,
    /// Position of the ankle.
    pub ankle: Point,
}

/// The foot at a time within a contact.
#[must_use]
pub fn planted(step: &Step, style: &Style, shoe: &Shoe, time_s: f64) -> PlantedFoot {
    let u = (time_s - step.contact_s) / (step.toe_off_s - step.contact_s);
    let down = (1.0 - u / FLAT_FROM_FRACTION).max(0.0);
    let up = ((u - FLAT_TO_FRACTION) / (1.0 - FLAT_TO_FRACTION)).max(0.0);
    let foot_rad = style.foot_at_contact_rad * down * down + style.foot_at_toe_off_rad * up * up;
    let landed = -step_roll_m(style, shoe);
    let ball_m = step.plant_m + landed - style.speed_m_s * (time_s - step.contact_s);
    PlantedFoot { foot_rad, ankle: shoe.ankle_when_planted(ball_m, foot_rad) }
}

/// Distance by which the first point of contact is ahead of the ball, because the toe is round.
fn step_roll_m(style: &Style, shoe: &Shoe) -> f64 {
    shoe.toe_radius_m * (-style.foot_at_contact_rad).max(0.0)
}

/// The angles of a leg that reaches from the hip to the ankle, knee forward.
///
/// By the law of cosines in the triangle hip, knee, ankle. For an ankle out of reach the leg is
/// nearly straight; a test shows that this never happens.
#[must_use]
pub fn reach(hip: Point, foot: PlantedFoot, lengths: &Proportions) -> LegAngles {
    let ankle = foot.ankle;
    let (thigh, shank) = (lengths.thigh_m, lengths.shank_m);
    let longest = thigh + shank - 1e-5;
    let reach = hip.distance_m(ankle).clamp((thigh - shank).abs() + 1e-5, longest);
    let line_rad = (ankle.x_m - hip.x_m).atan2(hip.y_m - ankle.y_m);
    let at_hip = (thigh * thigh + reach * reach - shank * shank) / (2.0 * thigh * reach);
    let at_ankle = (shank * shank + reach * reach - thigh * thigh) / (2.0 * shank * reach);
    LegAngles {
        thigh_rad: line_rad + at_hip.clamp(-1.0, 1.0).acos(),
        shank_rad: line_rad - at_ankle.clamp(-1.0, 1.0).acos(),
        foot_rad: foot.foot_rad,
    }
}
