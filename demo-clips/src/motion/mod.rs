//! How the runner moves: contacts, the path of the centre of mass, and the limbs.

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
