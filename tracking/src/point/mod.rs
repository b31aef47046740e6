//! One point in two pictures: followed by flow, searched for, settled by fits.

mod affine;
mod algebra;
mod blob;
mod fit;
mod flow;
mod patch;
mod patch_window;
mod rigid_alignment;
mod rotation;
mod template;

pub use affine::{AffineFit, AffineFitter, AffineScratch};
pub(crate) use algebra::solve;
pub use blob::{Blob, Edge, find_blob};
pub(crate) use blob::{CircleSamples, edge_steps, mean_and_spread};
pub use fit::{Fit, Fitter};
pub use flow::{FlowScratch, flow};
pub(crate) use flow::{Match, Window, compare, correlation, flow_in_any_light};
pub use patch::{Patch, Pose};
pub use patch_window::RigidScratch;
pub use rigid_alignment::{AlignmentStart, PosePrior, RigidFit};
pub use rotation::Rotation;
pub(crate) use template::parabola_vertex;
pub use template::{Peak, Scores, Template};
