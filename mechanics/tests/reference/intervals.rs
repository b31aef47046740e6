//! Student's t, means and Welch's interval against a general statistics library.

use super::{assert_same, fixture};
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
fn students_t_is_that_of_the_library_for_whole_and_fractional_degrees_of_freedom() {
    let student = fixture::<Intervals>("intervals").student;
    assert!(student.quantiles_975.len() == 12 && student.two_sided.len() == 84);
    for (freedom, quantile) in student.quantiles_975 {
        assert_same(
            student_quantile_975(freedom),
            quantile,
            0.0,
            &format!("quantile for {freedom}"),
        );
    }
    for (freedom, t, probability) in student.two_sided {
        // Probabilities are judged on a scale of 1.
        assert_same(
            student_two_sided(t, freedom),
            probability,
            1.0,
            &format!("beyond {t} for {freedom}"),
        );
    }
}

#[test]
fn means_sds_and_intervals_are_those_of_the_library() {
    for pair in fixture::<Intervals>("intervals").pairs {
        let of = |values: &[f64]| {
            // A measure without an SD due to the measurement.
            estimate(Measure::StrideTime, values.to_vec(), &Spread::default(), Vec::new()).unwrap()
        };
        let (first, second) = (of(&pair.first), of(&pair.second));
        assert_same(first.mean_si, pair.means[0], 0.0, "mean");
        assert_same(second.mean_si, pair.means[1], 0.0, "mean");
        assert_same(first.sd_si.unwrap(), pair.sds[0], 0.0, "sd");
        assert_same(second.sd_si.unwrap(), pair.sds[1], 0.0, "sd");
        let (low, high) = first.interval_95_si.unwrap();
        assert_same(low, pair.first_interval[0], 0.0, "low end");
        assert_same(high, pair.first_interval[1], 0.0, "high end");
        assert_same(
            welch_half_si(&first, &second).unwrap(),
            pair.welch_half,
            0.0,
            "Welch's half width",
        );
    }
}

#[test]
fn the_bootstrap_interval_of_a_seed_is_that_of_a_reference_computation() {
    let pairs = fixture::<Intervals>("intervals").pairs;
    assert_eq!(pairs.len(), 5);
    for pair in pairs {
        let seed = 100 + pair.first.len() as u64;
        let got = bootstrap_half_si(&pair.first, &pair.second, seed);
        // Means of numbers near 60 are rounded to some 1e-14.
        assert_same(got, pair.bootstrap_half, 1.0, &format!("resampled {}", pair.first.len()));
    }
}

#[derive(Deserialize)]
struct MeanDifference {
    first: Vec<f64>,
    second: Vec<f64>,
    difference: f64,
    freedom: f64,
    interval: [f64; 2],
    resampled_half: f64,
}

#[test]
fn differences_and_their_intervals_are_those_of_a_library_of_statistical_models() {
    let all = fixture::<Vec<MeanDifference>>("differences");
    assert_eq!(all.len(), 5);
    for pair in all {
        let of = |values: &[f64]| {
            estimate(Measure::StrideTime, values.to_vec(), &Spread::default(), Vec::new()).unwrap()
        };
        let (first, second) = (of(&pair.first), of(&pair.second));
        let difference = second.mean_si - first.mean_si;
        // Means near 60 are subtracted, so that rounding errors are those of numbers near 60.
        assert_same(difference, pair.difference, 60.0, "difference");
        let half = welch_half_si(&first, &second).unwrap();
        assert_same(difference - half, pair.interval[0], 60.0, "low end");
        assert_same(difference + half, pair.interval[1], 60.0, "high end");
        let square = |e: &mechanics::measures::Estimate| e.sd_si.unwrap().powi(2) / e.n as f64;
        let error = square(&first) + square(&second);
        let quantile = student_quantile_975(pair.freedom);
        assert_same(
            half,
            quantile * error.sqrt(),
            0.0,
            "half width by the library's degrees of freedom",
        );
    }
}

#[test]
fn the_block_bootstrap_gives_the_interval_of_a_bootstrap_library() {
    // The library made 40 000 draws, as many as 40 seeds of ours: both ends are known to about 0.5 % of the width.
    const SEEDS: u64 = 40;
    for pair in fixture::<Vec<MeanDifference>>("differences") {
        let halves = (0..SEEDS).map(|seed| bootstrap_half_si(&pair.first, &pair.second, seed));
        let got = halves.sum::<f64>() / SEEDS as f64;
        let off = got / pair.resampled_half - 1.0;
        println!("{} and {}: off by {:.2} %", pair.first.len(), pair.second.len(), 100.0 * off);
        assert!(off.abs() < 0.02, "{got} is not {}", pair.resampled_half);
    }
}
