//! Smoothing and halving of a plane.

use super::plane::Plane;

/// Levels of a pyramid: the picture itself, a half and a quarter of its size.
///
/// Chosen: the constant-velocity prediction leaves a few pixels to find, and a window at a quarter of the size finds about
/// 20 of them.
pub const LEVELS: usize = 3;

/// Half the size, after smoothing with the binomial weights 1 4 6 4 1 over 16 both ways.
///
/// Source: Burt, P. J. & Adelson, E. H. (1983), The Laplacian pyramid as a compact image code, IEEE Trans.
/// Commun. 31:532-540, with a = 0.375. Pixel `(i, j)` of the result stands at `(2 i, 2 j)`.
#[must_use]
pub fn halve(plane: &Plane) -> Plane {
    let (width, height) = (plane.width_px().div_ceil(2), plane.height_px().div_ceil(2));
    let mut values = Vec::with_capacity(width * height);
    let mut column = vec![0.0_f32; plane.width_px()];
    for j in 0..height {
        down(plane, 2 * j, &mut column);
        push_halved(&column, width, &mut values);
    }
    Plane::from_values(width, height, values)
}

/// The same smoothing at the plane's own size; beyond its edge its last pixels are repeated.
pub(super) fn smooth(plane: &Plane) -> Plane {
    let (width, height) = (plane.width_px(), plane.height_px());
    let mut values = Vec::with_capacity(width * height);
    let mut column = vec![0.0_f32; width];
    for y in 0..height {
        down(plane, y, &mut column);
        let edge = |x: usize| binomial(around(x, width.saturating_sub(1)).map(|t| column[t]));
        values.extend((0..width.min(2)).map(edge));
        let inside = width.saturating_sub(4);
        let five = [0, 1, 2, 3, 4].map(|shift| column.get(shift..shift + inside).unwrap_or(&[]));
        let [a, b, c, d, e] = five;
        let near = a.iter().zip(b).zip(c).zip(d.iter().zip(e));
        values.extend(near.map(|(((a, b), c), (d, e))| binomial([*a, *b, *c, *d, *e])));
        values.extend((width.saturating_sub(2).max(2)..width).map(edge));
    }
    Plane::from_values(width, height, values)
}

/// The binomial of five rows about `y`, column by column.
fn down(plane: &Plane, y: usize, column: &mut [f32]) {
    let rows = around(y, plane.height_px().saturating_sub(1)).map(|row| plane.row(row));
    let outer = rows[0].iter().zip(rows[4]);
    let inner = rows[1].iter().zip(rows[3]);
    for (out, ((o, i), c)) in column.iter_mut().zip(outer.zip(inner).zip(rows[2])) {
        *out = binomial([*o.0, *i.0, *c, *i.1, *o.1]);
    }
}

/// An index and two to each side, none beyond the last.
fn around(at: usize, last: usize) -> [usize; 5] {
    [at.saturating_sub(2), at.saturating_sub(1), at, (at + 1).min(last), (at + 2).min(last)]
}

fn push_halved(line: &[f32], width: usize, values: &mut Vec<f32>) {
    let at_edge = |i: usize| around(2 * i, line.len().saturating_sub(1)).map(|t| line[t]);
    let start = values.len();
    values.extend((0..width.min(1)).map(|i| binomial(at_edge(i))));
    values.extend(line.windows(5).step_by(2).map(|v| binomial([v[0], v[1], v[2], v[3], v[4]])));
    let done = values.len() - start;
    values.extend((done..width).map(|i| binomial(at_edge(i))));
}

fn binomial(v: [f32; 5]) -> f32 {
    ((v[0] + v[4]) + 4.0 * (v[1] + v[3]) + 6.0 * v[2]) * (1.0 / 16.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halving_is_the_plain_sum_over_five_by_five() {
        let plane = Plane::from_fn(23, 18, |x, y| ((x * 53 + y * 29 + x * y * 7) % 256) as f32);
        let half = halve(&plane);
        assert_eq!((half.width_px(), half.height_px()), (12, 9));
        let taps = [1.0, 4.0, 6.0, 4.0, 1.0];
        for j in 0..9_i64 {
            for i in 0..12_i64 {
                let mut sum = 0.0_f64;
                for (b, wy) in (-2..=2).zip(taps) {
                    for (a, wx) in (-2..=2).zip(taps) {
                        let x = (2 * i + a).clamp(0, 22) as usize;
                        let y = (2 * j + b).clamp(0, 17) as usize;
                        sum += wx * wy * f64::from(plane.row(y)[x]) / 256.0;
                    }
                }
                let got = f64::from(half.row(j as usize)[i as usize]);
                assert!((got - sum).abs() < 1e-4, "{got} {sum}");
            }
        }
    }

    #[test]
    fn smoothing_is_the_plain_sum_over_five_by_five_at_every_pixel() {
        let taps = [1.0, 4.0, 6.0, 4.0, 1.0];
        for (width, height) in [(23_usize, 18_usize), (3, 4), (1, 1)] {
            let value = |x: usize, y: usize| ((x * 53 + y * 29 + x * y * 7) % 256) as f32;
            let smoothed = smooth(&Plane::from_fn(width, height, value));
            assert_eq!((smoothed.width_px(), smoothed.height_px()), (width, height));
            for (x, y) in (0..height).flat_map(|y| (0..width).map(move |x| (x, y))) {
                let near = |at: usize, step: i64, size: usize| {
                    (at as i64 + step).clamp(0, size as i64 - 1) as usize
                };
                let mut sum = 0.0_f64;
                for (b, wy) in (-2..=2).zip(taps) {
                    for (a, wx) in (-2..=2).zip(taps) {
                        sum += wx * wy * f64::from(value(near(x, a, width), near(y, b, height)));
                    }
                }
                let got = f64::from(smoothed.row(y)[x]);
                assert!((got - sum / 256.0).abs() < 1e-4, "{x} {y}: {got} {sum}");
            }
        }
    }
}
