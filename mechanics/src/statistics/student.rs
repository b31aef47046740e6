//! Student's t distribution: probabilities, and the quantile of a 95 % interval.

/// The 97.5 % quantile of Student's t with these degrees of freedom (at least 0.5, possibly fractional).
///
/// By Newton's method on [`student_two_sided`] from the normal quantile: the density decreases right of its mode, so that
/// the iteration approaches the root from below. Exact to ten digits.
#[must_use]
pub fn student_quantile_975(degrees_of_freedom: f64) -> f64 {
    const NORMAL_QUANTILE_975: f64 = 1.959_963_984_540_054;
    let freedom = degrees_of_freedom.max(0.5);
    let half = f64::midpoint(freedom, 1.0);
    // Density: gamma((v+1)/2) / (sqrt(v pi) gamma(v/2)) (1 + t^2/v)^(-(v+1)/2). Source: as below, 26.7.2.
    let scale =
        ln_gamma(half) - ln_gamma(freedom / 2.0) - 0.5 * (freedom * std::f64::consts::PI).ln();
    let mut t = NORMAL_QUANTILE_975;
    for _ in 0..60 {
        let density = (scale - half * (t * t / freedom).ln_1p()).exp();
        let step = (student_two_sided(t, freedom) - 0.05) / (2.0 * density);
        t += step;
        if step.abs() <= 1e-12 * t {
            break;
        }
    }
    t
}

/// Probability that |t| exceeds this value: the regularised incomplete beta function
/// `I_x(v/2, 1/2)` with `x = v / (v + t^2)`.
///
/// Source: Abramowitz and Stegun 1964, 26.7.1 and 26.5.27.
#[must_use]
pub fn student_two_sided(t: f64, degrees_of_freedom: f64) -> f64 {
    incomplete_beta(
        degrees_of_freedom / 2.0,
        0.5,
        degrees_of_freedom / (degrees_of_freedom + t * t),
    )
}

/// Regularised incomplete beta function by its continued fraction.
///
/// Source: Abramowitz and Stegun 1964, 26.5.8.
fn incomplete_beta(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 || x >= 1.0 {
        return x.clamp(0.0, 1.0);
    }
    let front =
        (ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b) + a * x.ln() + b * (1.0 - x).ln()).exp();
    if x < (a + 1.0) / (a + b + 2.0) {
        front * fraction(a, b, x) / a
    } else {
        1.0 - front * fraction(b, a, 1.0 - x) / b
    }
}

/// The continued fraction, evaluated forward by the modified Lentz method.
fn fraction(a: f64, b: f64, x: f64) -> f64 {
    let nonzero = |v: f64| if v.abs() < 1e-300 { 1e-300 } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / nonzero(1.0 - (a + b) * x / (a + 1.0));
    let mut value = d;
    for m in (1..300).map(f64::from) {
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        for term in [even, odd] {
            d = 1.0 / nonzero(1.0 + term * d);
            c = nonzero(1.0 + term / c);
            value *= d * c;
        }
        if (d * c - 1.0).abs() < 1e-15 {
            break;
        }
    }
    value
}

/// Logarithm of the gamma function for positive arguments: Stirling's series after a shift to at least 10.
///
/// Source: Abramowitz and Stegun 1964, 6.1.41.
fn ln_gamma(x: f64) -> f64 {
    let mut shift = 0.0;
    let mut z = x;
    while z < 10.0 {
        shift += z.ln();
        z += 1.0;
    }
    let w = 1.0 / (z * z);
    let series = (1.0 / 12.0 - w * (1.0 / 360.0 - w * (1.0 / 1260.0 - w / 1680.0))) / z;
    (z - 0.5) * z.ln() - z + 0.5 * std::f64::consts::TAU.ln() + series - shift
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_are_the_published_ones() {
        // Source: Abramowitz and Stegun 1964, Table 26.10 (0.975, one-sided), v = 1, 2, 4, 9, 30, 120.
        for (v, t) in
            [(1.0, 12.706), (2.0, 4.303), (4.0, 2.776), (9.0, 2.262), (30.0, 2.042), (120.0, 1.980)]
        {
            assert!((student_quantile_975(v) - t).abs() < 5.1e-4, "{v}");
        }
    }

    #[test]
    fn one_and_two_degrees_of_freedom_agree_with_the_closed_forms() {
        // Exact: v = 1 is Cauchy's, P = 1 - 2 atan(t)/pi; v = 2 has P = 1 - t/sqrt(2 + t^2).
        for t in [0.1_f64, 1.0, 3.0, 12.0] {
            let one = 1.0 - 2.0 * t.atan() / std::f64::consts::PI;
            assert!((student_two_sided(t, 1.0) - one).abs() < 1e-12);
            let two = 1.0 - t / (2.0 + t * t).sqrt();
            assert!((student_two_sided(t, 2.0) - two).abs() < 1e-12);
        }
    }
}
