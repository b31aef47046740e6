//! Grey pictures and what is read from them.

mod colour;
mod frame;
mod frame_change;
mod image_point;
mod plane;
mod pyramid;
mod region;
mod rgba;
mod tile;

pub use colour::{Mix, every_nth};
pub use frame::GreyFrame;
pub use frame_change::SampledRows;
pub use image_point::ImagePoint;
pub use plane::Plane;
pub use pyramid::{LEVELS, halve};
pub use region::{Region, RegionPoint};
pub use rgba::{Order, push_chroma, push_grey};
pub use tile::Tile;
