//! Grey pictures and what is read from them.

mod change;
mod colour;
mod frame;
mod pixel;
mod plane;
mod pyramid;
mod rgba;
mod tile;

pub use change::Thinned;
pub use colour::{Mix, every_nth};
pub use frame::GreyFrame;
pub use pixel::Pixel;
pub use plane::Plane;
pub use pyramid::{LEVELS, Region, halve};
pub use rgba::{Order, push_differences, push_grey};
pub use tile::Tile;
