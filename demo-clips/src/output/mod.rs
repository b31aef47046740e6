//! What is written: the clips, the truth beside them, and what a coach would have entered.

mod clip;
mod encode;
mod example;
mod options;
mod truth;
mod varied;

pub use clip::{Clip, generate};
pub use example::Example;
pub use options::Options;
pub use truth::{Column, Event, Scale, Truth, View};
pub use varied::Variety;
