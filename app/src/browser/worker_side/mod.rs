//! The worker's end: owns files, indexes and decoders, shows frames and follows markers.

mod breath;
mod camera_look;
mod clip;
mod desk;
mod follow;
mod greys;
mod lent;
mod shower;
mod try_out;

pub use desk::start;
