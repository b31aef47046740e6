//! Laws that hold for every movement: units, reflection, time, rigid motion, free fall.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at wrong data")]

#[path = "../common/chain.rs"]
mod chain;
#[path = "../common/mod.rs"]
mod common;
mod falling;
mod single;
mod trials;

use chain::Chain;
use proptest::prelude::*;

/// Random chains with random motion.
fn chains() -> impl Strategy<Value = Chain> {
    let three = |low: f64, high: f64| prop::array::uniform3(low..high);
    let two = |most: f64| prop::array::uniform2(-most..most);
    let segments = (three(0.1, 0.6), three(0.5, 12.0), three(0.2, 0.8), three(0.002, 0.3));
    let hip = (two(1.0), two(4.0), two(15.0));
    let angles = (three(-3.0, 3.0), three(-12.0, 12.0), three(-150.0, 150.0));
    (segments, hip, angles).prop_map(|(segments, hip, angles)| Chain {
        lengths_m: segments.0,
        masses_kg: segments.1,
        centre_fractions: segments.2,
        inertias_kg_m2: segments.3,
        hip_m: hip.0,
        hip_m_s: hip.1,
        hip_m_s2: hip.2,
        angles_rad: angles.0,
        rates_rad_s: angles.1,
        accelerations_rad_s2: angles.2,
    })
}

/// Whether both are equal to 1e-9 of the scale or of the expected number, whichever is greater.
fn same(got: f64, expected: f64, scale: f64) -> bool {
    (got - expected).abs() <= 1e-9 * scale.abs().max(expected.abs())
}
