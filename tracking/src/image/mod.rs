//! Grey pictures and what is read from them.

mod colour;
mod frame;
mod frame_change;
mod image_point;
#[cfg(test)]
mod noise;
mod plane;
mod pyramid;
mod region;
mod rgba;
mod tile;

pub(crate) use colour::Mix;
pub use colour::every_nth;
pub use frame::GreyFrame;
pub use frame_change::SampledRows;
pub use image_point::ImagePoint;
#[cfg(test)]
pub(crate) use noise::noise;
pub use plane::Plane;
pub use pyramid::{LEVELS, halve};
pub use region::{Region, RegionPoint};
pub use rgba::{Order, push_chroma, push_grey};
pub(crate) use tile::Tile;
