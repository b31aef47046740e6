//! From a posture to a picture: camera, limbs and clothes, hall.

mod camera;
mod canvas;
mod cloth;
mod figure;
pub mod hall;
mod head;
mod layer;
mod outline;

pub use camera::{Camera, HEIGHT, WIDTH};
pub use canvas::{Canvas, Colour, Window};
pub use cloth::{Sticker, Wardrobe};
pub use figure::{Figure, Landmark};
pub use hall::{PLUMB_M, SCALE_M, Scenery};
