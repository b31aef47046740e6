//! The leg on the belt: the foot goes with the belt, and thigh and shank reach from the hip to it.

use super::Style;
use super::schedule::Step;
use crate::body::{LegAngles, Point, Proportions, Shoe};

/// Chosen: the foot is flat from this part of the contact …
const FLAT_FROM_FRACTION: f64 = 0.22;
/// Chosen: … to this part, and then rolls over the toes.
const FLAT_TO_FRACTION: f64 = 0.42;

/// Pitch of the foot and place of the ankle at a time within a contact.
#[must_use]
pub fn planted(step: &Step, style: &Style, shoe: &Shoe, time_s: f64) -> (f64, Point) {
    let u = (time_s - step.contact_s) / (step.toe_off_s - step.contact_s);
    let down = (1.0 - u / FLAT_FROM_FRACTION).max(0.0);
    let up = ((u - FLAT_TO_FRACTION) / (1.0 - FLAT_TO_FRACTION)).max(0.0);
    let foot_rad = style.foot_at_contact_rad * down * down + style.foot_at_toe_off_rad * up * up;
    let landed = -step_roll_m(style, shoe);
    let ball_m = step.plant_m + landed - style.speed_m_s * (time_s - step.contact_s);
    (foot_rad, shoe.ankle_when_planted(ball_m, foot_rad))
}

/// The point that touches first is a little ahead of the ball, because the toe is round.
fn step_roll_m(style: &Style, shoe: &Shoe) -> f64 {
    shoe.toe_radius_m * (-style.foot_at_contact_rad).max(0.0)
}

/// The angles of a leg that reaches from the hip to the ankle, knee forward.
///
/// By the law of cosines in the triangle hip, knee, ankle. An ankle out of reach is met by a leg
/// bent by a hundredth of a radian, which a test shows never to happen.
#[must_use]
pub fn reach(hip: Point, ankle: Point, foot_rad: f64, lengths: &Proportions) -> LegAngles {
    let (thigh, shank) = (lengths.thigh_m, lengths.shank_m);
    let longest = thigh + shank - 1e-5;
    let reach = hip.distance_m(ankle).clamp((thigh - shank).abs() + 1e-5, longest);
    let line_rad = (ankle.x_m - hip.x_m).atan2(hip.y_m - ankle.y_m);
    let at_hip = (thigh * thigh + reach * reach - shank * shank) / (2.0 * thigh * reach);
    let at_ankle = (shank * shank + reach * reach - thigh * thigh) / (2.0 * shank * reach);
    LegAngles {
        thigh_rad: line_rad + at_hip.clamp(-1.0, 1.0).acos(),
        shank_rad: line_rad - at_ankle.clamp(-1.0, 1.0).acos(),
        foot_rad,
    }
}
