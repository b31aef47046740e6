//! Reviews what was tracked: the stretches in doubt, and legs that were mistaken for each other.

mod go_to_doubt;
mod review_panel;
mod swap_legs;

pub use go_to_doubt::go_to_next_doubt;
pub use review_panel::ReviewPanel;
