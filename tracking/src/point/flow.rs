//! Lucas-Kanade: where the window about a point went from one picture to the next.
//!
//! Source: Lucas, B. D. & Kanade, T. (1981), IJCAI 674-679; coarse to fine after Bouguet, J.-Y. (2001),
//! Pyramidal implementation of the affine Lucas Kanade feature tracker, Intel.

use super::algebra::dot;
use crate::image::{ImagePoint, LEVELS, Plane, RegionPoint};
use std::ops::Range;

/// Smallest eigenvalue of the gradient matrix, per pixel of the window, that still holds a point.
///
/// Chosen: in squared grey levels per squared pixel; a flat wall with the noise of a coded clip has about 0.3, bare skin
/// in shade about 1.
const LEAST_EIGENVALUE: f32 = 0.5;
/// Half the side of windows at the coarser levels.
///
/// Chosen: a quarter of the size needs no more for a first guess.
const COARSE_HALF_PX: usize = 7;
/// Chosen: fits that settle do so in fewer; by trial on the worked clips, no record.
const MAX_ITERATIONS: usize = 12;
/// Step at which a level ends.
///
/// Chosen: a hundredth of what the whole chain must reach (0.1 px).
const SETTLED_PX: f32 = 1e-3;
/// Least sum of squares of a window, in squared grey levels, as a divisor.
///
/// Chosen: far below the noise of any picture; a window of one grey is no division by zero.
const LEAST_SQUARE: f32 = 1.0;
/// What a fit may go beyond its window's half side.
///
/// Chosen: by trial on the worked clips, no record.
const BEYOND_WINDOW_PX: f32 = 1.0;

/// Buffers of the windows, kept from call to call.
#[derive(Clone, Debug, Default)]
pub struct FlowScratch {
    wide: Vec<f32>,
    window: Vec<f32>,
    template: Vec<f32>,
    gradient_x: Vec<f32>,
    gradient_y: Vec<f32>,
}

/// A window and the levels at which it is followed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Window {
    /// Half the side of the window at the finest level.
    pub half_px: usize,
    /// The levels, of which 0 is the picture itself.
    pub levels: Range<usize>,
}

/// Follows the window of `2 half + 1` pixels about a place of one picture to its place in another, from a guess there.
///
/// At each level minimises `sum (to(q + u) - from(p + u))^2` over the window by Gauss-Newton steps
/// `d = G^-1 sum (from - to) grad from`, `G = sum grad grad^T`. `None` if the window has no texture, leaves a region, or
/// goes further from its guess than its own size.
#[must_use]
pub fn flow(
    from: RegionPoint<'_>,
    guess: RegionPoint<'_>,
    half_px: usize,
    scratch: &mut FlowScratch,
) -> Option<ImagePoint> {
    follow::<false>(from, guess, &Window { half_px, levels: 0..LEVELS }, scratch)
}

/// The same whatever the brightness and the contrast of the window do, as under a lamp that flickers, and down to the finest
/// of the levels that are asked for; the window is of that level.
///
/// The gradients are freed of a change of either: `g - mean g - t (g . t) / (t . t)`, `t` the window with its mean removed.
#[must_use]
pub fn flow_in_any_light(
    from: RegionPoint<'_>,
    guess: RegionPoint<'_>,
    window: &Window,
    scratch: &mut FlowScratch,
) -> Option<ImagePoint> {
    follow::<true>(from, guess, window, scratch)
}

fn follow<const ANY_LIGHT: bool>(
    from: RegionPoint<'_>,
    guess: RegionPoint<'_>,
    Window { half_px, levels }: &Window,
    scratch: &mut FlowScratch,
) -> Option<ImagePoint> {
    let (half_px, finest) = (*half_px, levels.start);
    let to = guess.region;
    let mut moved = guess.at;
    for level in levels.clone().rev() {
        let half = if level == finest { half_px } else { half_px.min(COARSE_HALF_PX) };
        let here =
            PlanePoint { plane: from.region.level(level), at: from.region.local(from.at, level) };
        let there = PlanePoint { plane: to.level(level), at: to.local(moved, level) };
        match settle::<ANY_LIGHT>(here, there, half, scratch) {
            Some((u, v)) => {
                let (scale, start) = (f64::from(1_u32 << level), there.at);
                moved = moved.moved(f64::from(u - start.0) * scale, f64::from(v - start.1) * scale);
            }
            // A coarse level without texture passes the guess on; the finest decides.
            None if level > finest => {}
            None => return None,
        }
    }
    Some(moved)
}

/// A place in a plane, in its own pixels.
#[derive(Clone, Copy)]
struct PlanePoint<'a> {
    plane: &'a Plane,
    at: (f32, f32),
}

/// One level of [`flow`].
fn settle<const ANY_LIGHT: bool>(
    from: PlanePoint<'_>,
    guess: PlanePoint<'_>,
    half: usize,
    scratch: &mut FlowScratch,
) -> Option<(f32, f32)> {
    if !from.plane.window(from.at.0, from.at.1, half + 1, &mut scratch.wide) {
        return None;
    }
    derive(half, scratch);
    let s = scratch;
    if ANY_LIGHT {
        remove_light(s);
    }
    let n = s.template.len() as f32;
    let [gxx, gxy, gyy] = gram(s);
    let determinant = gxx * gyy - gxy * gxy;
    if !(lesser_eigenvalue([gxx, gxy, gyy]) > LEAST_EIGENVALUE * n && determinant > 0.0) {
        return None;
    }
    let (to, start) = (guess.plane, guess.at);
    let (mut x, mut y) = start;
    let reach = half as f32 + BEYOND_WINDOW_PX;
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

/// The window and its central differences `(v(x+1) - v(x-1)) / 2`, from the window one pixel wider.
fn derive(half: usize, s: &mut FlowScratch) {
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

/// Removes from the gradients what a change of brightness or of contrast would add.
fn remove_light(s: &mut FlowScratch) {
    let n = s.template.len() as f32;
    let mean = s.template.iter().sum::<f32>() / n;
    // The mean goes first: sums of single precision keep more of small numbers.
    s.template.iter_mut().for_each(|t| *t -= mean);
    let square = dot(&s.template, &s.template).max(LEAST_SQUARE);
    for slope in [&mut s.gradient_x, &mut s.gradient_y] {
        let mean = slope.iter().sum::<f32>() / n;
        let along = dot(slope, &s.template) / square;
        for (g, t) in slope.iter_mut().zip(&s.template) {
            *g -= mean + along * t;
        }
    }
}

/// `G = sum grad grad^T` as xx, xy, yy.
fn gram(s: &FlowScratch) -> [f32; 3] {
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

/// How well the picture about a place determines it, and how well it agrees with another picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Match {
    /// Lesser eigenvalue of the mean of `grad grad^T`, in squared grey levels per squared pixel.
    pub texture: f32,
    /// Mean square difference of both windows, whatever their brightness and contrast, in squared grey levels.
    pub difference: f32,
}

/// The texture and the noise of two windows that show the same; `None` outside.
///
/// With deviations `s` and `t` and covariance `c` the difference is `2 (s t - c)`: nothing if one is the other in another
/// light, `2 sigma^2` if they differ by noise of `sigma` in each, also if there is nothing but noise.
#[must_use]
pub fn compare(
    from: RegionPoint<'_>,
    to: RegionPoint<'_>,
    Window { half_px, levels }: &Window,
    scratch: &mut FlowScratch,
) -> Option<Match> {
    let (half_px, level) = (*half_px, levels.start);
    let ((x, y), (u, v)) = (from.region.local(from.at, level), to.region.local(to.at, level));
    let both = from.region.level(level).window(x, y, half_px + 1, &mut scratch.wide)
        && to.region.level(level).window(u, v, half_px, &mut scratch.window);
    both.then_some(())?;
    derive(half_px, scratch);
    remove_light(scratch);
    let n = scratch.template.len() as f32;
    let mean = scratch.window.iter().sum::<f32>() / n;
    scratch.window.iter_mut().for_each(|w| *w -= mean);
    let (a, b) = (&scratch.template, &scratch.window);
    let difference = 2.0 * ((dot(a, a) * dot(b, b)).sqrt() - dot(a, b)) / n;
    Some(Match { texture: lesser_eigenvalue(gram(scratch)) / n, difference })
}

/// Zero-mean normalised correlation of two windows of the finest level, in any light; `None` outside or if one is plain.
#[must_use]
pub fn correlation(
    from: RegionPoint<'_>,
    to: RegionPoint<'_>,
    Window { half_px, levels }: &Window,
    scratch: &mut FlowScratch,
) -> Option<f32> {
    let level = levels.start;
    let ((x, y), (u, v)) = (from.region.local(from.at, level), to.region.local(to.at, level));
    let both = from.region.level(level).window(x, y, *half_px, &mut scratch.template)
        && to.region.level(level).window(u, v, *half_px, &mut scratch.window);
    both.then_some(())?;
    let (a, b) = (&mut scratch.template, &mut scratch.window);
    for window in [&mut *a, &mut *b] {
        let mean = window.iter().sum::<f32>() / window.len() as f32;
        window.iter_mut().for_each(|value| *value -= mean);
    }
    let square = dot(a, a) * dot(b, b);
    (square > 0.0).then(|| dot(a, b) / square.sqrt())
}
