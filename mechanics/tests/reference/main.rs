//! Reference computations: the same numbers from general libraries. Scripts and fixtures are in the `tests` folder of the
//! workspace.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at wrong data")]

#[path = "../common/chain.rs"]
mod chain;
mod chains;
mod intervals;
mod signals;

use serde::de::DeserializeOwned;

/// A fixture of the workspace.
fn fixture<T: DeserializeOwned>(name: &str) -> T {
    let path = format!("{}/../tests/fixtures/{name}.json", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// Fails unless both are equal to 1e-9 of the scale, which is at least the size of the expected number.
fn assert_same(got: f64, expected: f64, scale: f64, what: &str) {
    let scale = scale.max(expected.abs());
    assert!((got - expected).abs() <= 1e-9 * scale, "{what}: {got:e} is not {expected:e}");
}
