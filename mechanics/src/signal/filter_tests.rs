//! The filter against published coefficients and against a general signal library.

use super::*;

fn assert_close(got: &[f64], expected: &[f64], tolerance: f64) {
    assert_eq!(got.len(), expected.len());
    for (g, e) in got.iter().zip(expected) {
        assert!((g - e).abs() <= tolerance, "{g} is not {e}");
    }
}

const STEP: [f64; 12] = [0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0];

/// The design of the published outputs: the frequency is divided by 0.802, which is not exact.
fn tabulated() -> Biquad {
    Biquad::single_pass(6.0 / TWO_PASS_RATIO, 60.0)
}

#[test]
fn coefficients_are_those_of_the_published_recursion() {
    // Source: Winter 2009 eq. 3.8-3.9 evaluated to ten digits: fs, fc, a0, b1, b2 (b has the opposite sign here).
    for (fs, fc, a0, b1, b2) in [
        (60.0, 6.0, 0.0944467439, 0.9626413088, -0.3404282844),
        (120.0, 8.0, 0.0485846594, 1.2870097667, -0.4813484043),
        (240.0, 10.0, 0.0213902866, 1.5457681955, -0.6313293421),
    ] {
        let filter = Biquad::zero_lag(fc, fs);
        assert_close(&filter.feed_forward, &[a0, 2.0 * a0, a0], 1.1e-10);
        assert_close(&filter.feed_back, &[-b1, -b2], 1e-10);
        assert!((filter.gain(fc, fs).powi(2) - 0.5_f64.sqrt()).abs() < 1e-10);
    }
}

#[test]
fn dividing_the_frequency_by_0_802_misses_the_cutoff() {
    // Source: SciPy 1.17 freqz; gains of both passes at 1, 2, 3, 4, 6, 8, 10, 20 Hz.
    let gains = [0.99974, 0.99582, 0.97881, 0.93440, 0.72288, 0.42525, 0.20739, 0.00322];
    let filter = tabulated();
    assert_close(&filter.feed_forward[..1], &[0.0971852247], 1e-10);
    assert_close(&filter.feed_back, &[-0.9455702932, 0.3343111921], 1e-10);
    for (f, gain) in [1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 20.0].into_iter().zip(gains) {
        assert!((filter.gain(f, 60.0).powi(2) - gain).abs() < 5.1e-6, "{f}");
    }
}

#[test]
fn the_step_response_is_that_of_a_general_signal_library() {
    // Source: SciPy 1.17 filtfilt, odd padding of 9, then no padding.
    let odd = [
        -0.0000153159,
        -0.0103714872,
        0.0254379931,
        0.1478500612,
        0.3662292689,
        0.6296690487,
        0.8527910443,
        0.9854708344,
        1.0363165923,
        1.0389999614,
        1.0216617888,
        0.9993388686,
    ];
    assert_close(&low_pass(&STEP, &tabulated(), 9), &odd, 1e-10);
    let none = [
        -0.0376217494,
        -0.0343326564,
        0.0154281685,
        0.1463339407,
        0.3677437719,
        0.6306657341,
        0.8517535115,
        0.9828069207,
        1.0347351930,
        1.0441029510,
        1.0413927504,
        1.0398809991,
    ];
    assert_close(&low_pass(&STEP, &tabulated(), 0), &none, 1e-10);
}

#[test]
fn the_impulse_response_is_that_of_a_general_signal_library() {
    // Source: SciPy 1.17 filtfilt without padding, samples 5 to 15 of 21, impulse at 10.
    let expected = [
        -0.0135680276,
        0.0032473591,
        0.0497698979,
        0.1310562699,
        0.2218083612,
        0.2635989977,
        0.2218106205,
        0.1310727427,
        0.0498207696,
        0.0033490377,
        -0.0134296155,
    ];
    let mut impulse = [0.0; 21];
    impulse[10] = 1.0;
    assert_close(&low_pass(&impulse, &tabulated(), 0)[5..16], &expected, 1e-10);
}

#[test]
fn the_steady_state_is_that_of_a_general_signal_library() {
    // Source: SciPy 1.17 lfilter_zi.
    assert_close(&tabulated().steady_state(), &[0.9028147753, -0.2371259674], 1e-10);
}

#[test]
fn a_straight_line_passes_unchanged() {
    let line: Vec<f64> = (0..50).map(|i| 3.0 - 0.2 * f64::from(i)).collect();
    assert_close(&low_pass(&line, &Biquad::zero_lag(6.0, 60.0), 20)[15..35], &line[15..35], 1e-3);
    let level = [0.7; 30];
    assert_close(&low_pass(&level, &Biquad::zero_lag(6.0, 60.0), 12), &level, 1e-12);
}
