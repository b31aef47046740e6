//! Random numbers that a seed repeats.

use rand::SeedableRng;
use rand_xoshiro::Xoshiro256PlusPlus;

/// The generator of every journey that picks frames or moments at random.
#[must_use]
pub fn seeded(seed: u64) -> Xoshiro256PlusPlus {
    Xoshiro256PlusPlus::seed_from_u64(seed)
}
