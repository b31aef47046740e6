//! A clamped cubic spline.

/// A cubic spline: value, slope and curvature are continuous between its ends.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spline {
    knots: Vec<Knot>,
}

#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Knot {
    at_si: f64,
    value_si: f64,
    slope_si: f64,
}

impl Spline {
    /// The spline through points `(x, value)` in rising order with the slopes at its two ends.
    #[must_use]
    pub fn clamped(points: &[(f64, f64)], first_slope: f64, last_slope: f64) -> Self {
        let mut knots: Vec<Knot> = points
            .iter()
            .map(|&(at_si, value_si)| Knot { at_si, value_si, slope_si: 0.0 })
            .collect();
        if let Some(first) = knots.first_mut() {
            first.slope_si = first_slope;
        }
        if let Some(last) = knots.last_mut() {
            last.slope_si = last_slope;
        }
        // The inner slopes make the curvature continuous. The system is diagonally dominant, so
        // that Gauss-Seidel sweeps converge; with a few knots they take no longer than a solver.
        for _ in 0..60 {
            for i in 1..knots.len().saturating_sub(1) {
                let (before, here, after) = (knots[i - 1], knots[i], knots[i + 1]);
                let (left, right) = (here.at_si - before.at_si, after.at_si - here.at_si);
                let pull = 3.0 * (here.value_si - before.value_si) / (left * left)
                    + 3.0 * (after.value_si - here.value_si) / (right * right);
                knots[i].slope_si = (pull - before.slope_si / left - after.slope_si / right)
                    / (2.0 / left + 2.0 / right);
            }
        }
        Self { knots }
    }

    /// The value at x; beyond the ends, the value at the end.
    #[must_use]
    pub fn value(&self, at: f64) -> f64 {
        let Some((first, last)) = self.knots.first().zip(self.knots.last()) else { return 0.0 };
        if at <= first.at_si {
            return first.value_si;
        }
        if at >= last.at_si {
            return last.value_si;
        }
        let after = self.knots.partition_point(|knot| knot.at_si <= at);
        let (a, b) = (self.knots[after - 1], self.knots[after]);
        let width = b.at_si - a.at_si;
        let u = (at - a.at_si) / width;
        let v = 1.0 - u;
        a.value_si * v * v * (1.0 + 2.0 * u)
            + b.value_si * u * u * (1.0 + 2.0 * v)
            + width * u * v * (a.slope_si * v - b.slope_si * u)
    }
}

#[cfg(test)]
mod tests {
    use super::Spline;

    #[test]
    fn a_cubic_is_reproduced() {
        let cubic = |x: f64| 1.0 - 2.0 * x + 0.5 * x * x * x;
        let slope = |x: f64| -2.0 + 1.5 * x * x;
        let points: Vec<_> = [0.0, 0.4, 1.1, 2.0].map(|x| (x, cubic(x))).to_vec();
        let spline = Spline::clamped(&points, slope(0.0), slope(2.0));
        for i in 0..=40 {
            let x = f64::from(i) / 20.0;
            assert!((spline.value(x) - cubic(x)).abs() < 1e-9, "at {x}");
        }
    }
}
