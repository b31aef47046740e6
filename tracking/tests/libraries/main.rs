//! Flow, fits, correlation and pyramids against pictures warped by, and results of, general image libraries.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where its data are wrong")]

mod affine;
#[path = "../common/mod.rs"]
mod common;
mod correlation;
mod fits;
mod flows;
#[path = "../common/plain.rs"]
mod plain;
mod pyramids;
