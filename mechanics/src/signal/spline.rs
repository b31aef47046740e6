//! The cubic spline through given points, with not-a-knot ends.

/// A cubic between each two neighbouring points, twice continuously differentiable, with "not-a-knot" ends: the third
/// derivative is continuous at the second and the last but one knot. Two points give a line, three a parabola.
#[derive(Clone, Debug)]
pub struct Spline {
    knots: Vec<f64>,
    values: Vec<f64>,
    /// Second derivative at each knot.
    curvatures: Vec<f64>,
}

impl Spline {
    /// A spline through `values` at strictly increasing `knots`; none with fewer than two points.
    #[must_use]
    pub fn through(knots: &[f64], values: &[f64]) -> Option<Self> {
        if knots.len() < 2 || knots.len() != values.len() {
            return None;
        }
        let curvatures = curvatures(knots, values)?;
        Some(Self { knots: knots.to_vec(), values: values.to_vec(), curvatures })
    }

    /// The value at `x`; outside the knots the end cubics continue.
    #[must_use]
    pub fn at(&self, x: f64) -> Option<f64> {
        let piece = self.knots.partition_point(|k| *k <= x).clamp(1, self.knots.len() - 1) - 1;
        let (x0, x1) = (*self.knots.get(piece)?, *self.knots.get(piece + 1)?);
        let (y0, y1) = (*self.values.get(piece)?, *self.values.get(piece + 1)?);
        let (m0, m1) = (*self.curvatures.get(piece)?, *self.curvatures.get(piece + 1)?);
        let h = x1 - x0;
        let (a, b) = ((x1 - x) / h, (x - x0) / h);
        let bend = ((a.powi(3) - a) * m0 + (b.powi(3) - b) * m1) * h * h / 6.0;
        Some(a * y0 + b * y1 + bend)
    }
}

/// Second derivatives at the knots, by elimination in the tridiagonal system of the inner knots.
fn curvatures(knots: &[f64], values: &[f64]) -> Option<Vec<f64>> {
    let n = knots.len();
    let h: Vec<f64> = knots.iter().zip(knots.iter().skip(1)).map(|(a, b)| b - a).collect();
    let slope: Vec<f64> =
        values.iter().zip(values.iter().skip(1)).zip(&h).map(|((a, b), h)| (b - a) / h).collect();
    let bends: Vec<f64> =
        slope.iter().zip(slope.iter().skip(1)).map(|(a, b)| 6.0 * (b - a)).collect();
    match n {
        2 => return Some(vec![0.0, 0.0]),
        3 => {
            let one = bends.first()? / (3.0 * h.iter().sum::<f64>());
            return Some(vec![one; 3]);
        }
        _ => {}
    }
    let (h0, h1) = (*h.first()?, *h.get(1)?);
    let (hy, hz) = (*h.get(n - 3)?, *h.get(n - 2)?);
    let mut diagonal: Vec<f64> =
        h.iter().zip(h.iter().skip(1)).map(|(a, b)| 2.0 * (a + b)).collect();
    let mut upper: Vec<f64> = h.iter().skip(1).copied().collect();
    let mut lower: Vec<f64> = h.clone();
    // The ends: a third derivative that is continuous at the second knot gives m0 = m1 + (m1 - m2) h0 / h1, and
    // likewise at the other end.
    *diagonal.first_mut()? += h0 * (1.0 + h0 / h1);
    *upper.first_mut()? -= h0 * h0 / h1;
    *diagonal.last_mut()? += hz * (1.0 + hz / hy);
    *lower.get_mut(n - 3)? -= hz * hz / hy;
    let mut right = bends;
    for i in 1..n - 2 {
        let factor = lower.get(i)? / diagonal.get(i - 1)?;
        let (u, r) = (*upper.get(i - 1)?, *right.get(i - 1)?);
        *diagonal.get_mut(i)? -= factor * u;
        *right.get_mut(i)? -= factor * r;
    }
    let mut m = vec![0.0; n];
    for i in (0..n - 2).rev() {
        let next = if i + 1 < n - 2 { *m.get(i + 2)? } else { 0.0 };
        let above = if i + 1 < n - 2 { *upper.get(i)? } else { 0.0 };
        *m.get_mut(i + 1)? = (right.get(i)? - above * next) / diagonal.get(i)?;
    }
    let (m1, m2) = (*m.get(1)?, *m.get(2)?);
    let (my, mz) = (*m.get(n - 3)?, *m.get(n - 2)?);
    *m.first_mut()? = m1 + (m1 - m2) * h0 / h1;
    *m.last_mut()? = mz + (mz - my) * hz / hy;
    Some(m)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cubic_is_reproduced_exactly_between_uneven_knots() {
        let f = |x: f64| 2.0 - 3.0 * x + 0.5 * x * x - 0.25 * x.powi(3);
        for n in 4..9 {
            let knots: Vec<f64> = (0..n).map(|i| f64::from(i) + 0.1 * f64::from(i * i)).collect();
            let values: Vec<f64> = knots.iter().map(|x| f(*x)).collect();
            let spline = Spline::through(&knots, &values).unwrap();
            for k in 0..=50 {
                let x = knots[knots.len() - 1] * f64::from(k) / 50.0;
                assert!((spline.at(x).unwrap() - f(x)).abs() < 1e-11, "{n} {x}");
            }
        }
    }

    #[test]
    fn two_points_give_a_line_and_three_a_parabola() {
        let line = Spline::through(&[0.0, 2.0], &[1.0, 5.0]).unwrap();
        assert!((line.at(0.5).unwrap() - 2.0).abs() < 1e-15);
        let parabola = Spline::through(&[0.0, 1.0, 3.0], &[0.0, 1.0, 9.0]).unwrap();
        assert!((parabola.at(2.0).unwrap() - 4.0).abs() < 1e-14);
    }
}
