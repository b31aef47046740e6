//! The uncertainty of events due to the frame's length, and a model equation's prediction for a measured run.

use crate::common::runner::{RATE_HZ, Runner};
use crate::common::{analysed, mean, shared, thinned, trial};
use mechanics::analysis::Cutoff;
use mechanics::body::MarkerSet;
use mechanics::gait::EventKind;
use mechanics::measures::Measure as M;
use mechanics::space::Side;

/// Internal work by body mass and distance as predicted by a model equation, J/(kg m):
/// `SF v (1 + (DF / (1 - DF))^2) q`.
///
/// Source: Minetti 1998, J Biomech 31:463-468 (equation from memory, its dimensions checked).
fn predicted_j_kg_m(speed_m_s: f64, stride_hz: f64, duty: f64, q: f64) -> f64 {
    stride_hz * speed_m_s * (1.0 + (duty / (1.0 - duty)).powi(2)) * q
}

#[test]
fn the_model_equation_gives_its_tabulated_values() {
    // Source: the equation evaluated independently; q 0.08 after Nardello, Ardigo and Minetti 2011, Hum Mov
    // Sci 30:90-104, and 0.10 after the former: J/(kg m), and W/kg by the speed.
    for (speed, stride_hz, duty, low, low_w, high, high_w) in [
        (2.5, 1.31, 0.37, 0.352, 0.881, 0.440, 1.101),
        (3.0, 1.35, 0.35, 0.418, 1.254, 0.522, 1.567),
        (3.5, 1.38, 0.33, 0.480, 1.680, 0.600, 2.101),
        (4.0, 1.42, 0.31, 0.546, 2.184, 0.683, 2.731),
        (5.0, 1.48, 0.27, 0.673, 3.365, 0.841, 4.206),
    ] {
        for (q, distance, time) in [(0.08, low, low_w), (0.10, high, high_w)] {
            let got = predicted_j_kg_m(speed, stride_hz, duty, q);
            assert!((got - distance).abs() < 5.1e-4, "{speed} {q}: {got}");
            assert!((got * speed - time).abs() < 5.1e-4, "{speed} {q}: {}", got * speed);
        }
    }
}

#[test]
fn the_internal_work_of_measured_legs_is_that_predicted_by_the_model_equation() {
    // q 0.10 holds for movement that is filtered as lightly as here. Chosen: within 15 %, since q itself differs by 20 %
    // between the two publications.
    for (file, mass_kg) in [
        ("reference/running-data/run_sub01_v25_150Hz_sagittal_6s.csv", 62.0),
        ("reference/running-data/run_sub32_v25_150Hz_sagittal_6s.csv", 70.0),
    ] {
        let Some(text) = shared(file) else { return };
        let mut trial = trial(&text, MarkerSet::Legs, mass_kg);
        trial.cutoff = Cutoff::Fixed { cutoff_hz: 10.0 };
        let analysis = analysed(&trial);
        let (got, stride_s) =
            (mean(&analysis, M::InternalWorkPerDistance), mean(&analysis, M::StrideTime));
        let predicted = predicted_j_kg_m(2.5, 1.0 / stride_s, mean(&analysis, M::DutyFactor), 0.10);
        println!("{file}: {got:.3} J/(kg m), predicted {predicted:.3}");
        assert!((got / predicted - 1.0).abs() < 0.15, "{got} {predicted}");
    }
}

/// Variance of a toe-off at a frame rate divided by a whole number: that of the frame's length, plus a constant of the
/// rule. s2.
fn variance_s2(every: usize) -> f64 {
    let trial = thinned(Runner::TYPICAL.even().filmed(8, MarkerSet::Legs, 3), every);
    let events = analysed(&trial).events;
    events
        .iter()
        .find(|e| e.kind == EventKind::ToeOff && e.side == Side::Near)
        .unwrap()
        .sd_s
        .powi(2)
}

#[test]
fn the_sd_of_an_event_includes_the_frames_length_over_the_root_of_twelve() {
    // Exact: half a frame either way, uniform: SD 1/(f sqrt 12); the interval between two events has sqrt 2 times
    // that: 13.6, 6.8 and 3.4 ms at 30, 60 and 120 frames/s. The rule's own part cancels in differences of variances.
    for (f, milliseconds) in [(30.0_f64, 13.6), (60.0, 6.8), (120.0, 3.4), (240.0, 1.7)] {
        assert!((1e3 / (f * 6.0_f64.sqrt()) - milliseconds).abs() < 0.05);
    }
    let of_frame_s2 = |every: usize| (every as f64 / RATE_HZ).powi(2) / 12.0;
    for every in [2, 4] {
        let got_s2 = variance_s2(every) - variance_s2(1);
        let expected_s2 = of_frame_s2(every) - of_frame_s2(1);
        assert!((got_s2 / expected_s2 - 1.0).abs() < 1e-9, "{every}: {got_s2} {expected_s2}");
    }
}
