//! Places marks: by gestures and keys on the picture, with a guide beside it.

mod choices;
mod drag;
mod gestures;
mod guide;
mod keys;
mod mark;
mod placed_patch;

pub use drag::Drag;
pub use gestures::drag_gestures;
pub use guide::GuidePanel;
pub use keys::{MarkKeys, PLACE_LABEL};
pub use mark::place_mark;
