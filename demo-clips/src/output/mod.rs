//! The output: the clips, their ground truth, and the entries of a coach.

mod clip;
mod demonstration;
mod encode;
mod example;
mod generate;
mod options;
mod truth;
mod varied;
mod variety;

pub use clip::Clip;
pub use example::{Example, Trial};
pub use generate::generate;
pub use options::Options;
pub use truth::{Column, Event, Scale, Truth, View};
pub use variety::Variety;
