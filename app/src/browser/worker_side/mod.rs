//! The worker's end: owns files, indexes and decoders, shows frames and follows markers.

mod breath;
mod camera_look;
mod clip;
mod desk;
mod follow;
mod greys;
mod lent;
mod shower;

pub use desk::start;
