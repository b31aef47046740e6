//! Hostile input: no file or message ends the program, keeps it waiting or makes it hold too much memory.
//!
//! A [`Target`] reads what comes from outside. [`limits::check`] runs it on one input and measures. [`guided::run`] compiles
//! the targets with coverage counters and lets libFuzzer search for inputs that reach new code; `libfuzzer-sys` brings it and
//! needs a C++ compiler, but no other toolchain. Inputs that once failed are kept in `fixtures`, named for their target and fault.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test program: a failure is the answer"
)]

pub mod guided;
pub mod inputs;
pub mod limits;
pub mod seeds;
pub mod target;
pub mod targets;

pub use target::Target;
