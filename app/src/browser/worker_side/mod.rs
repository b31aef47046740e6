//! The worker's end: owns files, indexes and decoders, shows frames and follows markers.

mod clip;
mod desk;
mod follow;

pub use desk::start;
