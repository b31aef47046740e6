//! Lucas-Kanade: where the window about a point went from one picture to the next.
//!
//! Source: Lucas, B. D. & Kanade, T. (1981), IJCAI 674-679; coarse to fine after Bouguet, J.-Y. (2001),
//! Pyramidal implementation of the affine Lucas Kanade feature tracker, Intel.

use super::sums::{dot, sum2};
use crate::image::{LEVELS, Pixel, Plane, Region};

/// Smallest eigenvalue of the gradient matrix, per pixel of the window, that still holds a point.
///
/// Chosen: in squared grey levels per squared pixel; a flat wall with the noise of a coded clip has about
/// 0.3, bare skin in shade about 1.
const LEAST_EIGENVALUE: f32 = 0.5;
/// Chosen: windows at the coarser scales; a quarter of the size needs no more to give a first guess.
const COARSE_HALF_PX: usize = 7;
const MAX_ITERATIONS: usize = 12;
/// Chosen: a hundredth of what is asked of the whole chain (0.1 px).
const SETTLED_PX: f32 = 1e-3;

/// Buffers of the windows, kept from call to call.
#[derive(Clone, Debug, Default)]
pub struct Scratch {
    wide: Vec<f32>,
    window: Vec<f32>,
    template: Vec<f32>,
    gradient_x: Vec<f32>,
    gradient_y: Vec<f32>,
}

/// Follows the window of `2 half + 1` pixels about `at` in `from` to its place in `to`, beginning at `guess`.
///
/// At each scale minimises `sum (to(q + u) - from(p + u))^2` over the window by Gauss-Newton steps
/// `d = G^-1 sum (from - to) grad from`, `G = sum grad grad^T`. `None` where the window has no texture, leaves
/// a region, or runs away from its guess by more than itself.
#[must_use]
pub fn flow(
    (from, at): (&Region, Pixel),
    (to, guess): (&Region, Pixel),
    half_px: usize,
    scratch: &mut Scratch,
) -> Option<Pixel> {
    let mut moved = guess;
    for level in (0..LEVELS).rev() {
        let half = if level == 0 { half_px } else { half_px.min(COARSE_HALF_PX) };
        let (x, y) = from.local(at, level);
        let start = to.local(moved, level);
        let found = settle((from.level(level), (x, y)), (to.level(level), start), half, scratch);
        match found {
            Some((u, v)) => {
                let scale = f64::from(1_u32 << level);
                moved = moved.moved(f64::from(u - start.0) * scale, f64::from(v - start.1) * scale);
            }
            // A coarse scale without texture passes the guess on; the finest decides.
            None if level > 0 => {}
            None => return None,
        }
    }
    Some(moved)
}

/// One scale of [`flow`], in the coordinates of the planes.
fn settle(
    (from, at): (&Plane, (f32, f32)),
    (to, start): (&Plane, (f32, f32)),
    half: usize,
    scratch: &mut Scratch,
) -> Option<(f32, f32)> {
    if !from.window(at.0, at.1, half + 1, &mut scratch.wide) {
        return None;
    }
    derive(half, scratch);
    let s = scratch;
    let n = s.template.len() as f32;
    let gxx = dot(&s.gradient_x, &s.gradient_x);
    let gxy = dot(&s.gradient_x, &s.gradient_y);
    let gyy = dot(&s.gradient_y, &s.gradient_y);
    let determinant = gxx * gyy - gxy * gxy;
    let spread = ((gxx - gyy) * (gxx - gyy) + 4.0 * gxy * gxy).sqrt();
    if !(0.5 * (gxx + gyy - spread) > LEAST_EIGENVALUE * n && determinant > 0.0) {
        return None;
    }
    let (mut x, mut y) = start;
    let reach = half as f32 + 1.0;
    for _ in 0..MAX_ITERATIONS {
        if !to.window(x, y, half, &mut s.window) {
            return None;
        }
        for (value, template) in s.window.iter_mut().zip(&s.template) {
            *value = template - *value;
        }
        let bx = dot(&s.window, &s.gradient_x);
        let by = dot(&s.window, &s.gradient_y);
        let dx = (gyy * bx - gxy * by) / determinant;
        let dy = (gxx * by - gxy * bx) / determinant;
        x += dx;
        y += dy;
        let in_reach =
            (x - start.0) * (x - start.0) + (y - start.1) * (y - start.1) < reach * reach;
        if !in_reach {
            return None;
        }
        if dx * dx + dy * dy < SETTLED_PX * SETTLED_PX {
            break;
        }
    }
    Some((x, y))
}

/// The window and its central differences `(v(x+1) - v(x-1)) / 2` out of the window one pixel wider.
fn derive(half: usize, s: &mut Scratch) {
    let (side, wide) = (2 * half + 1, 2 * half + 3);
    for buffer in [&mut s.template, &mut s.gradient_x, &mut s.gradient_y] {
        buffer.clear();
    }
    let rows: Vec<&[f32]> = s.wide.chunks_exact(wide).collect();
    for three in rows.windows(3) {
        let [above, line, below] = three else { continue };
        s.template.extend_from_slice(&line[1..=side]);
        s.gradient_x.extend(line[2..].iter().zip(&line[..side]).map(|(r, l)| 0.5 * (r - l)));
        s.gradient_y
            .extend(below[1..=side].iter().zip(&above[1..=side]).map(|(b, a)| 0.5 * (b - a)));
    }
}

/// Root mean square difference of two windows of `2 half + 1` pixels, in grey levels; `None` outside.
#[must_use]
pub fn difference(from: (&Region, Pixel), to: (&Region, Pixel), half_px: usize) -> Option<f32> {
    let (mut a, mut b) = (Vec::new(), Vec::new());
    let (p, q) = (from.0.local(from.1, 0), to.0.local(to.1, 0));
    let both = from.0.level(0).window(p.0, p.1, half_px, &mut a)
        && to.0.level(0).window(q.0, q.1, half_px, &mut b);
    both.then(|| (sum2(&a, &b, |x, y| (x - y) * (x - y)) / a.len() as f32).sqrt())
}
