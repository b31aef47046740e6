//! Fast routines against slow twins, OpenCV and known shifts.

#![allow(clippy::unwrap_used, reason = "a test may fail by a panic, also in its helpers")]

mod opencv;
mod picture;
#[path = "../common/plain.rs"]
mod plain;
mod shifts;
mod twins;
