//! Whether the stated intervals hold the truth as often as they say, and whether marker sets agree.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where its data are wrong")]

mod bands;
#[path = "../common/mod.rs"]
mod common;
mod intervals;
mod marker_sets;
