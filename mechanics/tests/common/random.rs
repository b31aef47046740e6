//! Seeded normal deviates that do not come from the crate under test.

use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::SeedableRng;

/// Normal deviates of mean 0 and SD 1; the same seed gives the same ones.
pub struct Normal(Xoshiro256PlusPlus);

impl Normal {
    pub fn seeded(seed: u64) -> Self {
        Self(Xoshiro256PlusPlus::seed_from_u64(seed))
    }

    pub fn draw(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }
}
