//! One point in two pictures: followed by flow, searched for, settled by fits.

mod affine;
mod algebra;
mod blob;
mod fit;
mod flow;
mod patch;
mod rigid_alignment;
mod rotation;
mod template;

pub use affine::{AffineFit, AffineFitter, AffineScratch};
pub use algebra::solve;
pub use blob::{Blob, CircleSamples, Edge, edge_steps, find_blob, mean_and_spread};
pub use fit::{Fit, Fitter};
pub use flow::{FlowScratch, Match, Window, compare, correlation, flow, flow_in_any_light};
pub use patch::{Patch, Pose};
pub use rigid_alignment::{AlignmentStart, PosePrior, RigidFit, RigidScratch};
pub use rotation::Rotation;
pub use template::{Peak, Scores, Template, parabola_vertex};
