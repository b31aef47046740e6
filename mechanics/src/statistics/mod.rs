//! Means, standard deviations, Student's t, and the seeded random numbers for resampling.

mod random;
mod student;
mod summary;

pub use random::Random;
pub use student::{student_quantile_975, student_two_sided};
pub use summary::{mean, sd};
