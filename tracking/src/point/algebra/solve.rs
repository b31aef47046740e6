//! Three equations in three unknowns.

/// Solves a symmetric system of three by elimination, its matrix as xx, xy, yy, xt, yt, tt; `None` if it has no single
/// solution.
#[must_use]
pub fn solve([xx, xy, yy, xt, yt, tt]: [f64; 6], [bx, by, bt]: [f64; 3]) -> Option<[f64; 3]> {
    let (f, g) = (xy / xx, xt / xx);
    let (yy, yt, by) = (yy - f * xy, yt - f * xt, by - f * bx);
    let (tt, bt) = (tt - g * xt, bt - g * bx);
    let h = yt / yy;
    let t = (bt - h * by) / (tt - h * yt);
    let y = (by - yt * t) / yy;
    let x = (bx - xy * y - xt * t) / xx;
    (x.is_finite() && y.is_finite() && t.is_finite()).then_some([x, y, t])
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{Matrix3, Vector3};

    #[test]
    fn it_agrees_with_a_general_solver_and_refuses_a_singular_system() {
        let rows = Matrix3::new(4.0, 1.0, -2.0, 1.0, 5.0, 0.5, -2.0, 0.5, 6.0);
        let expected = rows.lu().solve(&Vector3::new(1.0, 2.0, 3.0)).unwrap();
        let found = solve([4.0, 1.0, 5.0, -2.0, 0.5, 6.0], [1.0, 2.0, 3.0]).unwrap();
        assert!((Vector3::from(found) - expected).norm() < 1e-12, "{found:?} {expected}");
        assert_eq!(solve([1.0, 1.0, 1.0, 0.0, 0.0, 1.0], [1.0, 2.0, 3.0]), None);
    }
}
