//! Follows user-placed markers through grey pictures: pictures go in, points with their certainty come out.
pub mod camera;
pub mod error;
pub mod image;
pub mod point;
mod scales;

pub use error::Error;
pub mod track;
