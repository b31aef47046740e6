//! Filtered series, differences and splines against a general signal library.

use super::{assert_same, fixture};
use mechanics::signal::{Biquad, Spline, central_difference, low_pass, second_difference};
use serde::Deserialize;

#[derive(Deserialize)]
struct Signals {
    filtered: Vec<Filtered>,
    splined: Vec<Splined>,
}

#[derive(Deserialize)]
struct Filtered {
    rate_hz: f64,
    cutoff_hz: f64,
    padding: usize,
    series: Vec<f64>,
    filtered: Vec<f64>,
    velocity: Vec<f64>,
    acceleration: Vec<f64>,
}

#[derive(Deserialize)]
struct Splined {
    knots: Vec<f64>,
    values: Vec<f64>,
    at: Vec<f64>,
    expected: Vec<f64>,
}

fn greatest(values: &[f64]) -> f64 {
    values.iter().fold(0.0, |m: f64, v| m.max(v.abs()))
}

/// Fails unless two series are equal to 1e-9 of the greatest number.
fn assert_all_same(got: &[f64], expected: &[f64], what: &str) {
    assert_eq!(got.len(), expected.len(), "{what}");
    for (got, e) in got.iter().zip(expected) {
        assert_same(*got, *e, greatest(expected), what);
    }
}

#[test]
fn filtered_random_movements_are_those_of_the_library() {
    let cases = fixture::<Signals>("signals").filtered;
    assert_eq!(cases.len(), 6);
    for case in cases {
        let filter = Biquad::zero_lag(case.cutoff_hz, case.rate_hz);
        let got = low_pass(&case.series, &filter, case.padding);
        assert_all_same(&got, &case.filtered, "filtered");
    }
}

#[test]
fn differences_are_those_of_the_library() {
    for case in fixture::<Signals>("signals").filtered {
        assert_all_same(
            &central_difference(&case.series, case.rate_hz),
            &case.velocity,
            "velocity",
        );
        let acceleration = second_difference(&case.series, case.rate_hz);
        assert_all_same(&acceleration, &case.acceleration, "acceleration");
    }
}

#[test]
fn splines_through_uneven_knots_are_those_of_the_library_inside_and_outside() {
    let cases = fixture::<Signals>("signals").splined;
    assert_eq!(cases.len(), 6);
    for case in cases {
        let spline = Spline::through(&case.knots, &case.values).unwrap();
        let got: Vec<f64> = case.at.iter().map(|x| spline.at(*x).unwrap()).collect();
        assert_all_same(&got, &case.expected, &format!("spline of {}", case.knots.len()));
    }
}
