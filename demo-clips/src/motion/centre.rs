//! The path of the centre of mass: free fall in flight, one smooth push during contact.

use super::schedule::Schedule;
use super::style::Style;
use crate::body::Point;
use std::f64::consts::TAU;

/// Acceleration of free fall.
///
/// Source: 9.80665 m/s2 by the third CGPM, 1901, rounded to two decimals.
const GRAVITY_M_S2: f64 = 9.81;

/// Heights of the centre of mass at contact and toe-off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heights {
    /// At contact.
    pub contact_m: f64,
    /// At toe-off.
    pub toe_off_m: f64,
}

/// Position of the centre of mass at a time.
///
/// In flight y = y0 + v t - g t^2 / 2 and x changes at a constant rate. During contact y is the
/// polynomial of degree five with the height, speed and acceleration (-g, since the force starts and
/// ends at zero) of both ends, and the forward force is one period of a sine: braking, then driving.
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
        from: End { height_m: heights.contact_m, speed_m_s: landing_m_s },
        to: End { height_m: heights.toe_off_m, speed_m_s: leaving_m_s(flight_after_s) },
        end_acceleration_m_s2: -GRAVITY_M_S2,
        length_s,
    };
    let brake_m = glide * (length_s + 0.5 * (flight_before_s + flight_after_s));
    let u = t / length_s;
    let x_m = glide * (0.5 * flight_before_s + t) - brake_m * (u - (TAU * u).sin() / TAU);
    Point::new(x_m, push.at(u))
}

/// Height and speed at one end of a contact.
struct End {
    height_m: f64,
    speed_m_s: f64,
}

/// A polynomial of degree five between two ends with the same acceleration.
struct Quintic {
    from: End,
    to: End,
    end_acceleration_m_s2: f64,
    length_s: f64,
}

impl Quintic {
    fn at(&self, u: f64) -> f64 {
        let (length_s, bend) =
            (self.length_s, 0.5 * self.end_acceleration_m_s2 * self.length_s.powi(2));
        let (p0, v0) = (self.from.height_m, self.from.speed_m_s * length_s);
        let (p1, v1) = (self.to.height_m, self.to.speed_m_s * length_s);
        // Height and speed at u = 1 that the terms of the start leave over.
        let height = p1 - p0 - v0 - bend;
        let speed = v1 - v0 - 2.0 * bend;
        let c3 = 10.0 * height - 4.0 * speed;
        let c4 = -15.0 * height + 7.0 * speed;
        let c5 = 6.0 * height - 3.0 * speed;
        p0 + u * (v0 + u * (bend + u * (c3 + u * (c4 + u * c5))))
    }
}
