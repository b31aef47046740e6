//! Whether the stated intervals contain the truth as often as they claim, and whether marker sets agree.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at wrong data")]

#[path = "../common/mod.rs"]
mod common;
mod curves;
mod intervals;
mod marker_sets;
