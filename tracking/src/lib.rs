//! Follows user-placed markers through grey pictures: pictures go in, points with their certainty come out.
//!
//! Pure: knows no file format and no browser.

pub mod camera;
pub mod error;
pub mod image;
pub mod point;
pub mod track;

pub use error::Error;
