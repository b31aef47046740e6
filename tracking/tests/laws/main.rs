//! Laws of tracking: what must hold whatever the clip, on drawn clips whose truth is known.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where its data are wrong")]

mod clip;
mod colour;
#[path = "../common/mod.rs"]
mod common;
mod following;
mod hiding;
mod motion_blur;
mod placing;
mod symmetry;
