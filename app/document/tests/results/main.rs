//! From a session to what is shown, on the true positions of clips.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests: a failure is the answer")]

mod camera;
mod chain;
mod explained;
mod fixture;
mod hostile;
mod scale_check;
mod sentences;
mod small;
