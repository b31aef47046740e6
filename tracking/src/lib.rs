//! Follows user-placed markers through grey pictures: pictures go in, points with their certainty come out.
//!
//! Pure: knows no file format and no browser.
//!
//! What works on whole pictures is never inlined: within a caller that is compiled for size its loops would be too, and
//! take four times as long.

pub mod camera;
pub mod error;
pub mod image;
pub mod point;
pub mod track;

pub use error::Error;
