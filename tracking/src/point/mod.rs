//! One point in two pictures: followed, looked for, settled.

mod fit;
mod flow;
mod ring;
mod sums;
mod template;

pub use fit::{Fit, Fitter};
pub use flow::{Scratch, difference, flow};
pub use ring::{Ring, ring_near};
pub use template::{Peak, Scores, Template};
