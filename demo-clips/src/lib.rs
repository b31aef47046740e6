//! The generator of the demonstration clips: an invented runner on an invented treadmill, with the truth beside.

pub mod body;
mod error;
pub mod motion;
pub mod noise;
pub mod output;
pub mod picture;

pub use error::Error;
