//! The picture, what is drawn over it, and the way through time under it.

mod loupe;
mod picture;
mod transport;

pub use loupe::draw_about;
pub use picture::{Gesture, Phase, Stage};
pub use transport::Transport;
