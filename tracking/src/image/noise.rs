//! Noise for tests.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// Bytes that are uniformly distributed, the same for a seed.
pub(crate) fn noise(seed: u64, count: usize) -> Vec<u8> {
    let mut bytes = vec![0; count];
    Xoshiro256PlusPlus::seed_from_u64(seed).fill_bytes(&mut bytes);
    bytes
}
