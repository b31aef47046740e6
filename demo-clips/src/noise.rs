//! Repeatable noise: the same number for the same place and seed on every machine.
//!
//! All of it comes from SplitMix64 (Steele, Lea and Flood, Fast Splittable Pseudorandom Number
//! Generators, OOPSLA 2014). Its n-th number can be computed without those before it, so that a
//! texture can ask for any place.

use rand_xoshiro::SplitMix64;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// Step of the state from one number to the next.
///
/// Source: Steele, Lea and Flood 2014, the golden gamma: the odd number nearest to 2^64 over the golden ratio.
const GOLDEN_GAMMA: u64 = 0x9E37_79B9_7F4A_7C15;
/// Chosen: step of the seed from one row to the next, an odd number with bits well mixed.
const ROW_STEP: u64 = 0xC2B2_AE3D_27D4_EB4F;

/// The SplitMix64 stream of a row, before its first number.
fn stream(seed: u64, row: i64) -> SplitMix64 {
    SplitMix64::seed_from_u64(seed.wrapping_add((row as u64).wrapping_mul(ROW_STEP)))
}

/// 64 random bits: the x-th number, counted from 1, in the stream of row y.
#[must_use]
pub fn bits(seed: u64, x: i64, y: i64) -> u64 {
    let skipped = (x as u64).wrapping_sub(1).wrapping_mul(GOLDEN_GAMMA);
    stream(seed.wrapping_add(skipped), y).next_u64()
}

/// Uniform from 0 to 1.
#[must_use]
pub fn uniform(seed: u64, x: i64, y: i64) -> f64 {
    to_uniform(bits(seed, x, y))
}

/// Nearly normal with mean 0 and standard deviation 1: the sum of four uniform numbers, within ±3.5.
#[must_use]
pub fn normal(seed: u64, x: i64, y: i64) -> f64 {
    to_normal(bits(seed, x, y))
}

/// A smooth texture from 0 to 1 whose features are about one unit wide.
#[must_use]
pub fn texture(seed: u64, x: f64, y: f64) -> f64 {
    let (column, row) = (x.floor(), y.floor());
    let (u, v) = (smooth(x - column), smooth(y - row));
    let (column, row) = (column as i64, row as i64);
    let top = lerp(uniform(seed, column, row), uniform(seed, column + 1, row), u);
    let bottom = lerp(uniform(seed, column, row + 1), uniform(seed, column + 1, row + 1), u);
    lerp(top, bottom, v)
}

/// Numbers drawn one after another from the stream of a row.
#[derive(Clone, Debug)]
pub struct Draws {
    stream: SplitMix64,
}

impl Draws {
    /// Begins at the first number of a row.
    #[must_use]
    pub fn new(seed: u64, row: i64) -> Self {
        Self { stream: stream(seed, row) }
    }

    /// Uniform between two bounds.
    pub fn uniform(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * to_uniform(self.stream.next_u64())
    }

    /// Nearly normal with mean 0 and standard deviation 1.
    pub fn normal(&mut self) -> f64 {
        to_normal(self.stream.next_u64())
    }

    /// One of some choices, each equally likely.
    pub fn one_of<T: Copy, const N: usize>(&mut self, choices: [T; N]) -> T {
        choices[(self.uniform(0.0, N as f64) as usize).min(N - 1)]
    }
}

fn to_uniform(bits: u64) -> f64 {
    (bits >> 11) as f64 / (1_u64 << 53) as f64
}

fn to_normal(bits: u64) -> f64 {
    let sum: f64 = [0, 16, 32, 48].iter().map(|shift| ((bits >> shift) & 0xFFFF) as f64).sum();
    (sum / 65535.0 - 2.0) * 3.0_f64.sqrt()
}

fn smooth(u: f64) -> f64 {
    u * u * (3.0 - 2.0 * u)
}

fn lerp(a: f64, b: f64, u: f64) -> f64 {
    a + (b - a) * u
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The finalizer written out, from which the committed clips were drawn.
    fn written_out(seed: u64, x: i64, y: i64) -> u64 {
        let mut z = seed
            .wrapping_add((x as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15))
            .wrapping_add((y as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F));
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    #[test]
    fn the_numbers_are_those_of_the_committed_clips() {
        for seed in [0, 7, 0x51DE, u64::MAX] {
            for (x, y) in [(0, 0), (1, 0), (2, 3), (-1, 71), (i64::MIN, i64::MAX)] {
                assert_eq!(bits(seed, x, y), written_out(seed, x, y), "{seed} {x} {y}");
            }
        }
    }

    #[test]
    fn the_first_row_is_splitmix64() {
        // Source: the reference splitmix64.c of Vigna for the seed 1234567, as many libraries quote it.
        let expected = [6_457_827_717_110_365_317, 3_203_168_211_198_807_973];
        assert_eq!([1, 2].map(|x| bits(1_234_567, x, 0)), expected);
    }

    #[test]
    fn draws_are_the_numbers_of_their_row_in_order() {
        let mut draws = Draws::new(7, 71);
        for x in 1..5 {
            assert_eq!(draws.clone().normal().to_bits(), normal(7, x, 71).to_bits());
            assert_eq!(draws.uniform(0.0, 1.0).to_bits(), uniform(7, x, 71).to_bits());
        }
    }
}
