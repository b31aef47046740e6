//! How the runner moves: when the feet are down, where the body's centre is, and what the limbs do.

mod centre;
mod course;
mod runner;
mod schedule;
mod spline;
mod stance;
mod style;
mod swing;
mod upper_body;

pub use course::Course;
pub use runner::Motion;
pub use schedule::{Schedule, Step};
pub use style::Style;
