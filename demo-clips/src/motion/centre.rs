//! The path of the body's centre of mass: free fall in flight, one smooth push on the belt.

use super::{Schedule, Style};
use crate::body::Point;
use std::f64::consts::TAU;

/// Standard acceleration of free fall as used here, rounded.
pub const GRAVITY_M_S2: f64 = 9.81;

/// Heights of the centre of mass when a foot lands and when it leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heights {
    /// When a foot lands.
    pub contact_m: f64,
    /// When a foot leaves.
    pub toe_off_m: f64,
}

/// Where the centre of mass is at a time.
///
/// In flight y = y0 + v t - g t^2 / 2 and x is uniform. On the belt y is the polynomial of fifth
/// degree that meets place, speed and acceleration (-g, since the force starts and ends at
/// nothing) at both ends, and the forward force is one period of a sine: braking, then driving.
#[must_use]
pub fn path(schedule: &Schedule, style: &Style, heights: Heights, time_s: f64) -> Point {
    let steps = schedule.steps();
    let here = schedule.latest(time_s).clamp(1, steps.len() - 2);
    let (before, step, next) = (&steps[here - 1], &steps[here], &steps[here + 1]);
    let flight_before_s = step.contact_s - before.toe_off_s;
    let flight_after_s = next.contact_s - step.toe_off_s;
    let drop_m = heights.toe_off_m - heights.contact_m;
    let leaving_m_s = |flight_s: f64| 0.5 * GRAVITY_M_S2 * flight_s - drop_m / flight_s;
    let glide = style.glide_m_s;
    if time_s > step.toe_off_s {
        let t = time_s - step.toe_off_s;
        let rise = leaving_m_s(flight_after_s) * t - 0.5 * GRAVITY_M_S2 * t * t;
        return Point::new(glide * (t - 0.5 * flight_after_s), heights.toe_off_m + rise);
    }
    let length_s = step.toe_off_s - step.contact_s;
    let t = time_s - step.contact_s;
    let landing_m_s = leaving_m_s(flight_before_s) - GRAVITY_M_S2 * flight_before_s;
    let push = Quintic {
        from: (heights.contact_m, landing_m_s),
        to: (heights.toe_off_m, leaving_m_s(flight_after_s)),
        end_acceleration_m_s2: -GRAVITY_M_S2,
        length_s,
    };
    let brake_m = glide * (length_s + 0.5 * (flight_before_s + flight_after_s));
    let u = t / length_s;
    let x_m = glide * (0.5 * flight_before_s + t) - brake_m * (u - (TAU * u).sin() / TAU);
    Point::new(x_m, push.at(u))
}

/// A polynomial of fifth degree with (place, speed) and one acceleration at both ends.
struct Quintic {
    from: (f64, f64),
    to: (f64, f64),
    end_acceleration_m_s2: f64,
    length_s: f64,
}

impl Quintic {
    fn at(&self, u: f64) -> f64 {
        let (length_s, bend) =
            (self.length_s, 0.5 * self.end_acceleration_m_s2 * self.length_s.powi(2));
        let (p0, v0) = (self.from.0, self.from.1 * length_s);
        let (p1, v1) = (self.to.0, self.to.1 * length_s);
        // What is left at u = 1 of place, speed and half the curvature after the start's own terms.
        let place = p1 - p0 - v0 - bend;
        let speed = v1 - v0 - 2.0 * bend;
        let c3 = 10.0 * place - 4.0 * speed;
        let c4 = -15.0 * place + 7.0 * speed;
        let c5 = 6.0 * place - 3.0 * speed;
        p0 + u * (v0 + u * (bend + u * (c3 + u * (c4 + u * c5))))
    }
}
