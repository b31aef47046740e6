//! The fast routines held against plain ones, against OpenCV and against shifts that are known.

#![allow(clippy::unwrap_used, reason = "a test may fail by a panic, also in its helpers")]

mod opencv;
mod picture;
#[path = "../common/plain.rs"]
mod plain;
mod shifts;
mod twins;
