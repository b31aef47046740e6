//! Trunk and arms: the lean, and the swing opposite to the legs.

use super::style::{Oscillation, Style};
use crate::body::{ArmAngles, Pair, Side};
use std::f64::consts::TAU;

/// Lean of the trunk; it oscillates a little with every step.
#[must_use]
pub fn lean_rad(style: &Style, strides: f64) -> f64 {
    style.lean_rad + 0.018 * (2.0 * TAU * (strides - 0.10)).cos()
}

/// Lean of neck and head, which oscillate less than the trunk.
#[must_use]
pub fn head_rad(style: &Style, strides: f64) -> f64 {
    style.lean_rad + 0.10 + 0.010 * (2.0 * TAU * (strides - 0.18)).cos()
}

/// Both arms. An arm is furthest back when the foot of its own side lands.
#[must_use]
pub fn arms(style: &Style, strides: f64) -> Pair<ArmAngles> {
    Pair::each(|side| {
        let own = strides + if side == Side::Near { 0.0 } else { 0.5 };
        let swing = |angle: Oscillation, delay: f64| {
            angle.middle_rad - angle.amplitude_rad * (TAU * (own - delay)).cos()
        };
        // The second harmonic, twice a stride.
        let second = (2.0 * TAU * (own - 0.05)).cos();
        let upper_rad = swing(style.upper_arm, 0.02) + 0.03 * second;
        let flexion_rad = swing(style.elbow, 0.06) + 0.04 * second;
        ArmAngles { upper_rad, forearm_rad: upper_rad + flexion_rad }
    })
}
