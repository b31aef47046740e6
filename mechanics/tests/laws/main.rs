//! Laws that hold whatever the movement: units, mirror, time, rigid motion, free fall.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where its data are wrong")]

#[path = "../common/chain.rs"]
mod chain;
#[path = "../common/mod.rs"]
mod common;
mod falling;
mod single;
mod trials;

use chain::Chain;
use proptest::prelude::*;

/// Chains of every proportion, however they move.
fn chains() -> impl Strategy<Value = Chain> {
    let three = |low: f64, high: f64| prop::array::uniform3(low..high);
    let two = |most: f64| prop::array::uniform2(-most..most);
    let made = (three(0.1, 0.6), three(0.5, 12.0), three(0.2, 0.8), three(0.002, 0.3));
    let moves =
        (two(1.0), two(4.0), two(15.0), three(-3.0, 3.0), three(-12.0, 12.0), three(-150.0, 150.0));
    (made, moves).prop_map(|(made, moves)| Chain {
        lengths_m: made.0,
        masses_kg: made.1,
        centre_fractions: made.2,
        inertias_kg_m2: made.3,
        hip_m: moves.0,
        hip_m_s: moves.1,
        hip_m_s2: moves.2,
        angles_rad: moves.3,
        rates_rad_s: moves.4,
        accelerations_rad_s2: moves.5,
    })
}

/// Whether both are the same to 1e-9 of the scale or of the expected number.
fn same(got: f64, expected: f64, scale: f64) -> bool {
    (got - expected).abs() <= 1e-9 * scale.abs().max(expected.abs())
}
