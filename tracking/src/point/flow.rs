//! Lucas-Kanade: where the window about a point went from one picture to the next.
//!
//! Source: Lucas, B. D. & Kanade, T. (1981), IJCAI 674-679; coarse to fine after Bouguet, J.-Y. (2001),
//! Pyramidal implementation of the affine Lucas Kanade feature tracker, Intel.

use super::algebra::{dot, sum2};
use crate::image::{LEVELS, Pixel, Plane, Region};
use std::ops::Range;

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

/// Half the side of the window at the finest of some scales, of which 0 is the picture itself, and these scales.
pub type Window = (usize, Range<usize>);

/// Follows the window of `2 half + 1` pixels about `at` in `from` to its place in `to`, beginning at `guess`.
///
/// At each scale minimises `sum (to(q + u) - from(p + u))^2` over the window by Gauss-Newton steps
/// `d = G^-1 sum (from - to) grad from`, `G = sum grad grad^T`. `None` where the window has no texture, leaves
/// a region, or runs away from its guess by more than itself.
#[must_use]
pub fn flow(
    from: (&Region, Pixel),
    to: (&Region, Pixel),
    half_px: usize,
    scratch: &mut Scratch,
) -> Option<Pixel> {
    followed::<false>(from, to, &(half_px, 0..LEVELS), scratch)
}

/// The same whatever becomes of the brightness and the contrast of the window, as under a lamp that flickers, and down
/// to a coarser scale where that is the finest that is asked; the window is of that scale.
///
/// The slopes are freed of what a change of either looks like: `g - mean g - t (g . t) / (t . t)`, `t` the window
/// with its mean off.
#[must_use]
pub fn flow_in_any_light(
    from: (&Region, Pixel),
    to: (&Region, Pixel),
    window: &Window,
    scratch: &mut Scratch,
) -> Option<Pixel> {
    followed::<true>(from, to, window, scratch)
}

fn followed<const ANY_LIGHT: bool>(
    (from, at): (&Region, Pixel),
    (to, guess): (&Region, Pixel),
    (half_px, levels): &Window,
    scratch: &mut Scratch,
) -> Option<Pixel> {
    let (half_px, finest) = (*half_px, levels.start);
    let mut moved = guess;
    for level in levels.clone().rev() {
        let half = if level == finest { half_px } else { half_px.min(COARSE_HALF_PX) };
        let (x, y) = from.local(at, level);
        let start = to.local(moved, level);
        let (here, there) = ((from.level(level), (x, y)), (to.level(level), start));
        let found = settle::<ANY_LIGHT>(here, there, half, scratch);
        match found {
            Some((u, v)) => {
                let scale = f64::from(1_u32 << level);
                moved = moved.moved(f64::from(u - start.0) * scale, f64::from(v - start.1) * scale);
            }
            // A coarse scale without texture passes the guess on; the finest decides.
            None if level > finest => {}
            None => return None,
        }
    }
    Some(moved)
}

/// One scale of [`flow`], in the coordinates of the planes.
fn settle<const ANY_LIGHT: bool>(
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
    if ANY_LIGHT {
        free_of_light(s);
    }
    let n = s.template.len() as f32;
    let [gxx, gxy, gyy] = gram(s);
    let determinant = gxx * gyy - gxy * gxy;
    if !(lesser_eigenvalue([gxx, gxy, gyy]) > LEAST_EIGENVALUE * n && determinant > 0.0) {
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

/// Takes from the slopes what a change of brightness or of contrast would look like.
fn free_of_light(s: &mut Scratch) {
    let n = s.template.len() as f32;
    let mean = s.template.iter().sum::<f32>() / n;
    // The mean is off first: sums of single precision keep more of small numbers.
    s.template.iter_mut().for_each(|t| *t -= mean);
    let square = dot(&s.template, &s.template).max(1.0);
    for slope in [&mut s.gradient_x, &mut s.gradient_y] {
        let mean = slope.iter().sum::<f32>() / n;
        let along = dot(slope, &s.template) / square;
        for (g, t) in slope.iter_mut().zip(&s.template) {
            *g -= mean + along * t;
        }
    }
}

/// `G = sum grad grad^T` as xx, xy, yy.
fn gram(s: &Scratch) -> [f32; 3] {
    [
        dot(&s.gradient_x, &s.gradient_x),
        dot(&s.gradient_x, &s.gradient_y),
        dot(&s.gradient_y, &s.gradient_y),
    ]
}

fn lesser_eigenvalue([xx, xy, yy]: [f32; 3]) -> f32 {
    let spread = ((xx - yy) * (xx - yy) + 4.0 * xy * xy).sqrt();
    0.5 * (xx + yy - spread)
}

/// How far the picture about a place tells where it is, and how well it agrees with another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Match {
    /// Lesser eigenvalue of the mean of `grad grad^T`, in squared grey levels per squared pixel.
    pub texture: f32,
    /// Mean square difference of both windows, whatever their brightness and contrast, in squared grey levels.
    pub difference: f32,
}

/// What two windows of `2 half + 1` pixels of a scale that show the same tell of texture and of noise; `None` outside.
///
/// With deviations `s` and `t` and covariance `c` the difference is `2 (s t - c)`: nothing where one is the other in
/// another light, `2 sigma^2` where they differ by noise of `sigma` in each, also where there is nothing but noise.
#[must_use]
pub fn compare(
    (from, at): (&Region, Pixel),
    (to, there): (&Region, Pixel),
    (half_px, levels): &Window,
    scratch: &mut Scratch,
) -> Option<Match> {
    let (half_px, level) = (*half_px, levels.start);
    let ((x, y), (u, v)) = (from.local(at, level), to.local(there, level));
    let both = from.level(level).window(x, y, half_px + 1, &mut scratch.wide)
        && to.level(level).window(u, v, half_px, &mut scratch.window);
    both.then_some(())?;
    derive(half_px, scratch);
    free_of_light(scratch);
    let n = scratch.template.len() as f32;
    let mean = scratch.window.iter().sum::<f32>() / n;
    scratch.window.iter_mut().for_each(|w| *w -= mean);
    let (a, b) = (&scratch.template, &scratch.window);
    let difference = 2.0 * ((dot(a, a) * dot(b, b)).sqrt() - dot(a, b)) / n;
    Some(Match { texture: lesser_eigenvalue(gram(scratch)) / n, difference })
}

/// Zero-mean normalised correlation of two windows of `2 half + 1` pixels of a scale, in whatever light; `None` outside
/// or where one is plain.
#[must_use]
pub fn correlation(
    (from, at): (&Region, Pixel),
    (to, there): (&Region, Pixel),
    (half_px, levels): &Window,
    scratch: &mut Scratch,
) -> Option<f32> {
    let level = levels.start;
    let ((x, y), (u, v)) = (from.local(at, level), to.local(there, level));
    let both = from.level(level).window(x, y, *half_px, &mut scratch.template)
        && to.level(level).window(u, v, *half_px, &mut scratch.window);
    both.then_some(())?;
    let (a, b) = (&mut scratch.template, &mut scratch.window);
    for window in [&mut *a, &mut *b] {
        let mean = window.iter().sum::<f32>() / window.len() as f32;
        window.iter_mut().for_each(|value| *value -= mean);
    }
    let square = dot(a, a) * dot(b, b);
    (square > 0.0).then(|| dot(a, b) / square.sqrt())
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
