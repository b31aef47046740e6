//! Interpolation between evenly spaced samples.

/// The first of the four samples around a fractional index, and the weights of all four: the cubic through them in
/// Lagrange's form. None outside the series or with fewer than four samples.
#[must_use]
pub fn cubic_weights(count: usize, index: f64) -> Option<(usize, [f64; 4])> {
    let last = count.checked_sub(1)? as f64;
    if count < 4 || !(index >= -1e-9 && index <= last + 1e-9) {
        return None;
    }
    let left = (index.floor() - 1.0).clamp(0.0, last - 3.0) as usize;
    let t = index - left as f64;
    let (t1, t2, t3) = (t - 1.0, t - 2.0, t - 3.0);
    let weights = [-t1 * t2 * t3 / 6.0, t * t2 * t3 / 2.0, -t * t1 * t3 / 2.0, t * t1 * t2 / 6.0];
    Some((left, weights))
}

/// The value at a fractional index by the cubic through the four samples around it; none outside the series or with
/// fewer than four samples.
#[must_use]
pub fn interpolate(series: &[f64], index: f64) -> Option<f64> {
    let (left, weights) = cubic_weights(series.len(), index)?;
    Some(series.get(left..left + 4)?.iter().zip(weights).map(|(x, w)| x * w).sum())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cubic_is_interpolated_exactly_and_nothing_is_extrapolated() {
        let f = |x: f64| 1.0 + x - 0.3 * x * x + 0.02 * x.powi(3);
        let series: Vec<f64> = (0..9).map(|i| f(f64::from(i))).collect();
        for k in 0..=80 {
            let x = f64::from(k) / 10.0;
            assert!((interpolate(&series, x).unwrap() - f(x)).abs() < 1e-12);
        }
        assert_eq!(interpolate(&series, -0.1), None);
        assert_eq!(interpolate(&series, 8.1), None);
        assert_eq!(interpolate(&[], 0.0), None);
        assert_eq!(interpolate(&[1.0, 3.0], 0.5), None);
    }
}
