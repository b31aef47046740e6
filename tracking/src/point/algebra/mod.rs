//! Sums over windows and small systems of equations.

mod simd_sums;
mod solve;

pub(super) use simd_sums::{dot, sum, sum2, sum3};
pub use solve::solve;
