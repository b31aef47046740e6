//! Velocity and acceleration from evenly spaced samples.

/// `(x_(i+1) - x_(i-1)) / 2 dt` for the inner samples; two shorter than the series.
///
/// Source: Winter 2009, eq. 3.16.
#[must_use]
pub fn central_difference(series: &[f64], rate_hz: f64) -> Vec<f64> {
    series.iter().zip(series.iter().skip(2)).map(|(a, c)| (c - a) * rate_hz / 2.0).collect()
}

/// `(x_(i+1) - 2 x_i + x_(i-1)) / dt^2` for the inner samples; two shorter than the series.
///
/// Source: Winter 2009, eq. 3.17b.
#[must_use]
pub fn second_difference(series: &[f64], rate_hz: f64) -> Vec<f64> {
    let inner = series.iter().skip(1);
    series
        .iter()
        .zip(inner)
        .zip(series.iter().skip(2))
        .map(|((a, b), c)| (c - 2.0 * b + a) * rate_hz * rate_hz)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quadratics_are_differentiated_exactly() {
        // Exact: x = 3 t^2 + 2 t + 1 at 60 Hz has v = 2.1 ... 2.5 at samples 1 to 5 and a = 6.
        let x: Vec<f64> =
            (0..7).map(|i| f64::from(i) / 60.0).map(|t| 3.0 * t * t + 2.0 * t + 1.0).collect();
        for (v, expected) in central_difference(&x, 60.0).iter().zip([2.1, 2.2, 2.3, 2.4, 2.5]) {
            assert!((v - expected).abs() < 1e-12);
        }
        assert!(second_difference(&x, 60.0).iter().all(|a| (a - 6.0).abs() < 1e-10));
    }

    #[test]
    fn a_sine_is_attenuated_by_the_known_factor() {
        // Exact: sin(w dt)/(w dt) for the first, (sin(w dt/2)/(w dt/2))^2 for the second difference.
        let w = std::f64::consts::TAU * 1.4;
        for (rate, first, second) in [(60.0, 0.99642, 0.99821), (30.0, 0.98573, 0.99286)] {
            let x: Vec<f64> = (-1..=1).map(|i| (w * f64::from(i) / rate).sin()).collect();
            assert!((central_difference(&x, rate)[0] / w - first).abs() < 5.1e-6);
            let y: Vec<f64> = (-1..=1).map(|i| (w * f64::from(i) / rate).cos()).collect();
            assert!((-second_difference(&y, rate)[0] / (w * w) - second).abs() < 5.1e-6);
        }
    }
}
