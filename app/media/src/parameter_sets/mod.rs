//! The range of tones in a codec's own header, for containers that do not name it.
//!
//! These readers skip to one flag and stop there. Chosen over `scuffle-h264` 0.2.2, `scuffle-h265` 0.2.2 and `scuffle-av1`
//! 0.1.4, which parse whole headers and give the same answers for every clip of the tests: all three overflow on damaged
//! headers, `scuffle-h265` also reads beyond a table, and together they add 32 kB (gzipped) to the worker.

mod av1;
mod avc;
mod bits;
mod hevc;
mod vui;

pub use av1::is_full_range as av1_is_full_range;
pub use avc::is_full_range as avc_is_full_range;
pub use hevc::is_full_range as hevc_is_full_range;
