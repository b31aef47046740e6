//! The picture, the drawing over it, and the time line below it.

mod canvas;
mod gesture;
mod inspection;
mod loupe;
mod pointer;
mod stage_view;
mod transport;
mod zoom;

pub use canvas::draw_magnified;
pub use gesture::{Gesture, Phase};
pub use loupe::LOUPE_SIDE;
pub use stage_view::Stage;
pub use transport::Transport;
