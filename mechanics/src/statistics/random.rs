//! Seeded random numbers: the same seed gives the same numbers on every machine.
//!
//! Written here rather than taken from a library, because published intervals depend on every bit of it: the
//! generator is six lines of a cited sequence (the tests compare it with a library's), and a library may change how it
//! makes indices and normal deviates from those bits.

/// A small generator of 64-bit numbers (the SplitMix64 sequence).
///
/// Source: Steele, Lea and Flood 2014, "Fast splittable pseudorandom number generators", Fig. 17.
#[derive(Clone, Debug)]
pub struct Random {
    state: u64,
}

impl Random {
    /// A generator that starts at this seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number in `0.0..1.0`.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// An index below `count` (0 when `count` is 0).
    pub fn below(&mut self, count: usize) -> usize {
        ((self.unit() * count as f64) as usize).min(count.saturating_sub(1))
    }

    /// A normal deviate of mean 0 and SD 1. Source: Box and Muller 1958, Annals of Mathematical Statistics 29:610-611.
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.unit()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.unit()).cos()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sequence_is_the_published_one() {
        // Source: reference implementation of SplitMix64, seed 1234567.
        let mut random = Random::new(1_234_567);
        let got: Vec<u64> = (0..3).map(|_| random.bits()).collect();
        assert_eq!(
            got,
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]
        );
    }

    #[test]
    fn the_sequence_is_that_of_a_library() {
        use rand_xoshiro::SplitMix64;
        use rand_xoshiro::rand_core::{Rng, SeedableRng};
        for seed in [0, 1, 99, u64::MAX] {
            let (mut own, mut library) = (Random::new(seed), SplitMix64::seed_from_u64(seed));
            for _ in 0..1000 {
                assert_eq!(own.bits(), library.next_u64(), "seed {seed}");
            }
        }
    }

    #[test]
    fn normal_deviates_have_mean_zero_and_sd_one() {
        let mut random = Random::new(7);
        let values: Vec<f64> = (0..20_000).map(|_| random.normal()).collect();
        assert!(super::super::mean(&values).unwrap().abs() < 0.03);
        assert!((super::super::sd(&values).unwrap() - 1.0).abs() < 0.02);
    }
}
