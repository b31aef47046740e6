//! Student's t, means and Welch's interval against a general statistics library.

use super::{fixture, same};
use mechanics::comparison::{bootstrap_half_si, welch_half_si};
use mechanics::measures::{Measure, Spread, estimate};
use mechanics::statistics::{student_quantile_975, student_two_sided};
use serde::Deserialize;

#[derive(Deserialize)]
struct Intervals {
    student: Student,
    pairs: Vec<Pair>,
}

#[derive(Deserialize)]
struct Student {
    quantiles_975: Vec<(f64, f64)>,
    two_sided: Vec<(f64, f64, f64)>,
}

#[derive(Deserialize)]
struct Pair {
    first: Vec<f64>,
    second: Vec<f64>,
    means: [f64; 2],
    sds: [f64; 2],
    first_interval: [f64; 2],
    welch_half: f64,
    bootstrap_half: f64,
}

#[test]
fn students_t_is_that_of_the_library_also_for_fractional_degrees_of_freedom() {
    let student = fixture::<Intervals>("intervals").student;
    assert!(student.quantiles_975.len() == 12 && student.two_sided.len() == 84);
    for (freedom, quantile) in student.quantiles_975 {
        same(student_quantile_975(freedom), quantile, 0.0, &format!("quantile for {freedom}"));
    }
    for (freedom, t, probability) in student.two_sided {
        // A probability is a number out of 1.
        same(student_two_sided(t, freedom), probability, 1.0, &format!("beyond {t} for {freedom}"));
    }
}

#[test]
fn means_spreads_and_intervals_are_those_of_the_library() {
    for pair in fixture::<Intervals>("intervals").pairs {
        let of = |values: &[f64]| {
            // A measure without a spread of its own beside that of the strides.
            estimate(Measure::StrideTime, values.to_vec(), &Spread::default(), Vec::new()).unwrap()
        };
        let (first, second) = (of(&pair.first), of(&pair.second));
        same(first.mean_si, pair.means[0], 0.0, "mean");
        same(second.mean_si, pair.means[1], 0.0, "mean");
        same(first.sd_si.unwrap(), pair.sds[0], 0.0, "sd");
        same(second.sd_si.unwrap(), pair.sds[1], 0.0, "sd");
        let (low, high) = first.interval_95_si.unwrap();
        same(low, pair.first_interval[0], 0.0, "low end");
        same(high, pair.first_interval[1], 0.0, "high end");
        same(welch_half_si(&first, &second).unwrap(), pair.welch_half, 0.0, "Welch's half width");
    }
}

#[test]
fn the_resampled_interval_of_a_seed_is_that_of_a_second_computation() {
    let pairs = fixture::<Intervals>("intervals").pairs;
    assert_eq!(pairs.len(), 5);
    for pair in pairs {
        let seed = 100 + pair.first.len() as u64;
        let got = bootstrap_half_si(&pair.first, &pair.second, seed);
        // Means of numbers near 60 are rounded to some 1e-14.
        same(got, pair.bootstrap_half, 1.0, &format!("resampled {}", pair.first.len()));
    }
}

#[derive(Deserialize)]
struct OfMeans {
    first: Vec<f64>,
    second: Vec<f64>,
    difference: f64,
    freedom: f64,
    interval: [f64; 2],
    resampled_half: f64,
}

#[test]
fn differences_and_their_intervals_are_those_of_a_library_of_statistical_models() {
    let all = fixture::<Vec<OfMeans>>("differences");
    assert_eq!(all.len(), 5);
    for pair in all {
        let of = |values: &[f64]| {
            estimate(Measure::StrideTime, values.to_vec(), &Spread::default(), Vec::new()).unwrap()
        };
        let (first, second) = (of(&pair.first), of(&pair.second));
        let difference = second.mean_si - first.mean_si;
        // Means near 60 are subtracted, so that their rounding is that of numbers of 60.
        same(difference, pair.difference, 60.0, "difference");
        let half = welch_half_si(&first, &second).unwrap();
        same(difference - half, pair.interval[0], 60.0, "low end");
        same(difference + half, pair.interval[1], 60.0, "high end");
        let square = |e: &mechanics::measures::Estimate| e.sd_si.unwrap().powi(2) / e.n as f64;
        let error = square(&first) + square(&second);
        let quantile = student_quantile_975(pair.freedom);
        same(half, quantile * error.sqrt(), 0.0, "half width by the library's degrees of freedom");
    }
}

#[test]
fn resampling_in_blocks_gives_the_interval_of_a_library_of_bootstraps() {
    // The library has 40 000 draws, 40 seeds of ours as many: both ends are known to some 0.5 % of the width.
    const SEEDS: u64 = 40;
    for pair in fixture::<Vec<OfMeans>>("differences") {
        let halves = (0..SEEDS).map(|seed| bootstrap_half_si(&pair.first, &pair.second, seed));
        let got = halves.sum::<f64>() / SEEDS as f64;
        let off = got / pair.resampled_half - 1.0;
        println!("{} and {}: off by {:.2} %", pair.first.len(), pair.second.len(), 100.0 * off);
        assert!(off.abs() < 0.02, "{got} is not {}", pair.resampled_half);
    }
}
