//! What the markers say about each other: one place holds one marker, limbs keep their lengths, neighbours move alike.

mod assignment;
mod interpolation;
mod learning;
mod length_constraint;
mod occlusion_order;
mod places;
mod rigid_prediction;
mod state;
mod triangle;

pub(super) use assignment::Offers;
pub(super) use places::{Places, UncertainPlace};
pub(super) use state::Skeleton;
