//! One point in two pictures: followed, looked for, settled.

mod affine;
mod algebra;
mod fit;
mod flow;
mod patch;
mod ring;
mod template;
mod turn;
mod turned;

pub use affine::{AffineFit, AffineFitter, AffineScratch};
pub use algebra::solve;
pub use fit::{Fit, Fitter};
pub use flow::{Match, Scratch, Window, compare, correlation, difference, flow, flow_in_any_light};
pub use patch::{Patch, Pose};
pub use ring::{Around, Edge, Ring, mean_and_spread, ring_near, ring_steps};
pub use template::{Peak, Scores, Template, vertex};
pub use turn::Turn;
pub use turned::{Aim, Expectation, TurnedFit, TurnedScratch};
