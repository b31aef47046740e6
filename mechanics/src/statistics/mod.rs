//! Means, spreads and intervals, and the seeded numbers that resampling needs.

mod random;
mod student;
mod summary;

pub use random::Random;
pub use student::{student_quantile_975, student_two_sided};
pub use summary::{mean, sd};
