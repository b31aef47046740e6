//! 95 % intervals of the difference of two means: Welch's, and a moving-block bootstrap.

use crate::measures::Estimate;
use crate::statistics::{Random, mean, student_quantile_975};

/// Chosen: enough that the ends of the interval move by less than a twentieth of its width with the seed.
const RESAMPLES: usize = 1000;
/// Chosen: neighbouring strides resemble each other; blocks of two keep some of that.
const BLOCK: usize = 2;

/// A variance, in the square of the measure's unit, with its degrees of freedom.
#[derive(Clone, Copy)]
pub struct Variance {
    pub variance_si: f64,
    pub degrees_of_freedom: f64,
}

/// Half of Welch's 95 % interval: `t sqrt(s1^2/n1 + s2^2/n2)` with Satterthwaite's degrees of freedom.
///
/// Source: Welch 1947, Biometrika 34:28-35.
#[must_use]
pub fn welch_half_si(first: &Estimate, second: &Estimate) -> Option<f64> {
    let of_mean = |e: &Estimate| {
        Some(Variance {
            variance_si: e.sd_si?.powi(2) / e.n as f64,
            degrees_of_freedom: (e.n - 1) as f64,
        })
    };
    let (a, b) = (of_mean(first)?, of_mean(second)?);
    let sum = a.variance_si + b.variance_si;
    if sum <= 0.0 {
        return Some(0.0);
    }
    Some(student_quantile_975(satterthwaite(a, b)) * sum.sqrt())
}

/// Satterthwaite's degrees of freedom of the sum of two variances.
///
/// Source: Satterthwaite 1946, Biometrics Bulletin 2:110-114.
#[must_use]
pub fn satterthwaite(first: Variance, second: Variance) -> f64 {
    let (a, b) = (first.variance_si, second.variance_si);
    (a + b) * (a + b) / (a * a / first.degrees_of_freedom + b * b / second.degrees_of_freedom)
}

/// Half the distance between the 2.5 % and the 97.5 % points of differences resampled in circular blocks.
///
/// Source: Künsch 1989, Annals of Statistics 17:1217-1241 (moving blocks).
#[must_use]
pub fn bootstrap_half_si(first: &[f64], second: &[f64], seed: u64) -> f64 {
    let mut random = Random::new(seed);
    let mut draws: Vec<f64> = (0..RESAMPLES)
        .map(|_| resampled_mean(second, &mut random) - resampled_mean(first, &mut random))
        .collect();
    draws.sort_by(f64::total_cmp);
    let quantile = |part: f64| {
        draws.get(((draws.len() - 1) as f64 * part).round() as usize).copied().unwrap_or(0.0)
    };
    (quantile(0.975) - quantile(0.025)) / 2.0
}

fn resampled_mean(values: &[f64], random: &mut Random) -> f64 {
    let mut drawn = Vec::with_capacity(values.len() + BLOCK);
    while drawn.len() < values.len() {
        let start = random.below(values.len());
        drawn.extend((0..BLOCK).filter_map(|i| values.get((start + i) % values.len())));
    }
    drawn.truncate(values.len());
    mean(&drawn).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::{Measure, Spread, estimate};

    #[test]
    fn welchs_interval_is_that_of_a_worked_computation() {
        let of = |values: &[f64]| {
            let spread = Spread::default();
            estimate(Measure::InternalWork, values.to_vec(), &spread, Vec::new()).unwrap()
        };
        // Source: arithmetic by hand, a = 1..5, b = 2, 4, 6, 8: s2/n = 0.5 and 5/3, df = 2.1667^2 /
        // (0.25/4 + 2.7778/3) = 4.749, t(0.975, 4.749) = 2.614.
        let half =
            welch_half_si(&of(&[1.0, 2.0, 3.0, 4.0, 5.0]), &of(&[2.0, 4.0, 6.0, 8.0])).unwrap();
        assert!((half - 2.614 * 2.166_667_f64.sqrt()).abs() < 0.01, "{half}");
    }
}
