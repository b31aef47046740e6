//! The main job in a real browser, through the page's own controls, held against known truth.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

mod before;
mod by_hand;
mod common;
mod correction;
mod example;
mod keeping;
mod panning;
mod privacy;
mod speed;
mod time;
