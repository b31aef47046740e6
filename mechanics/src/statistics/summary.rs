//! Mean and standard deviation.

/// Arithmetic mean; none without values.
#[must_use]
pub fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Standard deviation with n - 1; none with fewer than two values.
#[must_use]
pub fn sd(values: &[f64]) -> Option<f64> {
    let first = values.first()?;
    if values.len() > 1 && values.iter().all(|v| v == first) {
        // Exactly zero: the rounded mean could differ from equal values.
        return Some(0.0);
    }
    let mean = mean(values)?;
    let squares: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
    (values.len() > 1).then(|| (squares / (values.len() - 1) as f64).sqrt())
}
