//! Published and closed-form numbers: segment tables, worked examples, and a textbook's walking trial.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at wrong data")]

mod camera;
#[path = "../common/mod.rs"]
mod common;
mod examples;
mod rods;
mod tables;
mod timing;
mod walking;
