//! Sums over windows and small systems of equations.

mod solve;
mod sums;

pub use solve::solve;
pub(super) use sums::{dot, sum, sum2, sum3};
