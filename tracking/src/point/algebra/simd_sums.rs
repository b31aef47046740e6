//! Sums over a window in eight lanes: the compiler may use vector instructions, and every machine adds in the same order.

/// Lanes of a sum.
///
/// Chosen: two vector registers of four.
const LANES: usize = 8;

/// The sum of `f(a[i], b[i])`.
pub(in crate::point) fn sum2(a: &[f32], b: &[f32], f: impl Fn(f32, f32) -> f32) -> f32 {
    let mut lanes = [0.0_f32; LANES];
    let (a8, b8) = (a.chunks_exact(LANES), b.chunks_exact(LANES));
    let rest = a8.remainder().iter().zip(b8.remainder());
    let tail = rest.fold(0.0_f32, |sum, (x, y)| sum + f(*x, *y));
    for (x, y) in a8.zip(b8) {
        for k in 0..LANES {
            lanes[k] += f(x[k], y[k]);
        }
    }
    fold(lanes) + tail
}

/// The sum of `a[i]`.
pub(in crate::point) fn sum(a: &[f32]) -> f32 {
    sum2(a, a, |x, _| x)
}

/// The sum of `a[i] b[i]`.
pub(in crate::point) fn dot(a: &[f32], b: &[f32]) -> f32 {
    sum2(a, b, |x, y| x * y)
}

/// The sum of `a[i] b[i] c[i]`.
pub(in crate::point) fn sum3(a: &[f32], b: &[f32], c: &[f32]) -> f32 {
    let mut lanes = [0.0_f32; LANES];
    let (mut total, whole) = (0.0_f32, a.len() / LANES * LANES);
    let lines = a.chunks_exact(LANES).zip(b.chunks_exact(LANES)).zip(c.chunks_exact(LANES));
    for ((x, y), z) in lines {
        for k in 0..LANES {
            lanes[k] += x[k] * y[k] * z[k];
        }
    }
    for ((x, y), z) in a[whole..].iter().zip(&b[whole..]).zip(&c[whole..]) {
        total += x * y * z;
    }
    lanes.iter().fold(total, |sum, v| sum + v)
}

/// The sum of the lanes, in one order.
fn fold(v: [f32; LANES]) -> f32 {
    ((v[0] + v[4]) + (v[1] + v[5])) + ((v[2] + v[6]) + (v[3] + v[7]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lanes_give_the_plain_sum() {
        for n in [0, 1, 7, 8, 9, 29] {
            let a: Vec<f32> = (0..n).map(|i| i as f32).collect();
            let b: Vec<f32> = (0..n).map(|i| (3 * i + 1) as f32).collect();
            // Whole numbers below 2^24 are exact in any order.
            assert_eq!(dot(&a, &b), a.iter().zip(&b).map(|(x, y)| x * y).sum::<f32>());
            assert_eq!(sum(&a), a.iter().sum::<f32>());
            let three = a.iter().zip(&b).map(|(x, y)| x * y * x).sum::<f32>();
            assert_eq!(sum3(&a, &b, &a), three);
        }
    }
}
