//! From a session to what is shown, on the true positions of clips.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests: a failure is the answer")]

mod breakdown;
mod cache_scene_strip;
mod camera;
mod chain;
mod fixture;
mod hostile;
mod scale_check;
mod sentences;
