//! Round things: an edge that runs about a middle at the same distance on all sides.

use crate::image::{Pixel, Plane, Region};

/// Sixteen directions about the circle: the cosines of 0, 22.5, 45, 67.5 and 90 degrees, and their turns.
const DIRECTIONS: [(f32, f32); 16] = {
    const A: f32 = 0.923_879_5;
    const B: f32 = 0.707_106_77;
    const C: f32 = 0.382_683_43;
    [
        (1.0, 0.0),
        (A, C),
        (B, B),
        (C, A),
        (0.0, 1.0),
        (-C, A),
        (-B, B),
        (-A, C),
        (-1.0, 0.0),
        (-A, -C),
        (-B, -B),
        (-C, -A),
        (0.0, -1.0),
        (C, -A),
        (B, -B),
        (A, -C),
    ]
};

/// A round edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    /// Its middle.
    pub middle: Pixel,
    /// Its radius.
    pub radius_px: f32,
    /// Mean step of brightness outward over two pixels, in grey levels; negative for a light disc.
    pub step: f32,
    /// Standard deviation of that step about the circle.
    pub spread: f32,
}

/// Chosen: a sticker's edge is at least so strong, and less uneven than this share of its strength.
const LEAST_STEP: f32 = 30.0;
const MOST_UNEVEN: f32 = 0.35;
/// Chosen: from the smallest disc with a middle of its own to a large sticker in a 1080-line picture.
const RADII_PX: std::ops::RangeInclusive<usize> = 5..=24;

/// The most even strong ring with its middle within `reach` pixels of a place; `None` where there is none.
#[must_use]
pub fn ring_near(region: &Region, at: Pixel, reach_px: usize) -> Option<Ring> {
    let plane = region.level(0);
    let centre = region.local(at, 0);
    let mut best: Option<(f32, (f32, f32), f32)> = None;
    let steps = 2 * reach_px as i64;
    for (j, i) in (-steps..=steps).flat_map(|j| (-steps..=steps).map(move |i| (j, i))) {
        if i * i + j * j > steps * steps {
            continue;
        }
        let middle = (centre.0 + 0.5 * i as f32, centre.1 + 0.5 * j as f32);
        for half_radius in RADII_PX {
            let radius = 0.5 * half_radius as f32;
            let Some((step, spread)) = around(plane, middle, radius) else { continue };
            let score = step.abs() - 1.5 * spread;
            if best.is_none_or(|(old, _, _)| score > old) {
                best = Some((score, middle, radius));
            }
        }
    }
    let (_, middle, radius) = best?;
    let middle = settle(plane, middle, radius)?;
    let (step, spread) = around(plane, middle, radius)?;
    let strong = step.abs() >= LEAST_STEP && spread <= MOST_UNEVEN * step.abs();
    let middle = region.global(middle.0, middle.1);
    let near = middle.distance_px(at) <= reach_px as f64 + 0.5;
    (strong && near).then_some(Ring { middle, radius_px: radius, step, spread })
}

/// Mean and standard deviation of the outward step across the circle.
fn around(plane: &Plane, middle: (f32, f32), radius: f32) -> Option<(f32, f32)> {
    let (mut sum, mut square) = (0.0_f32, 0.0_f32);
    for (ux, uy) in DIRECTIONS {
        let at = |r: f32| plane.bilinear(middle.0 + r * ux, middle.1 + r * uy);
        let step = at(radius + 1.0)? - at(radius - 1.0)?;
        sum += step;
        square += step * step;
    }
    let count = DIRECTIONS.len() as f32;
    let mean = sum / count;
    Some((mean, (square / count - mean * mean).max(0.0).sqrt()))
}

/// Moves the middle until opposite sides are alike: minimises `sum (v(c + u) - v(c - u))^2` over a disc a
/// little larger than the ring by Gauss-Newton, the gradients being central differences.
fn settle(plane: &Plane, start: (f32, f32), radius: f32) -> Option<(f32, f32)> {
    let half = radius as usize + 2;
    let mut middle = start;
    let mut window = Vec::new();
    for _ in 0..12 {
        plane.window(middle.0, middle.1, half + 1, &mut window).then_some(())?;
        let step = symmetry_step(&window, half);
        middle = (middle.0 + step.0, middle.1 + step.1);
        let (dx, dy) = (middle.0 - start.0, middle.1 - start.1);
        if dx * dx + dy * dy > 4.0 {
            return None;
        }
    }
    Some(middle)
}

/// One Gauss-Newton step toward the middle of symmetry of a window of `2 half + 3` pixels.
fn symmetry_step(window: &[f32], half: usize) -> (f32, f32) {
    let side = 2 * half + 3;
    let value = |x: usize, y: usize| window.get(y * side + x).copied().unwrap_or(0.0);
    let slope = |x: usize, y: usize| {
        (0.5 * (value(x + 1, y) - value(x - 1, y)), 0.5 * (value(x, y + 1) - value(x, y - 1)))
    };
    let (mut xx, mut xy, mut yy, mut bx, mut by) = (1e-3_f32, 0.0_f32, 1e-3_f32, 0.0_f32, 0.0_f32);
    for y in 1..side - 1 {
        for x in 1..side - 1 {
            let (dx, dy) = (x.abs_diff(half + 1), y.abs_diff(half + 1));
            if dx * dx + dy * dy > half * half + half {
                continue;
            }
            let (ox, oy) = (side - 1 - x, side - 1 - y);
            let difference = value(x, y) - value(ox, oy);
            let (here, there) = (slope(x, y), slope(ox, oy));
            let (gx, gy) = (here.0 - there.0, here.1 - there.1);
            xx += gx * gx;
            xy += gx * gy;
            yy += gy * gy;
            bx -= difference * gx;
            by -= difference * gy;
        }
    }
    let determinant = xx * yy - xy * xy;
    ((yy * bx - xy * by) / determinant, (xx * by - xy * bx) / determinant)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::GreyFrame;

    /// A disc of light on a sloping ground, each pixel the mean of 8 by 8 points in it.
    fn disc(cx: f64, cy: f64, radius: f64) -> Vec<u8> {
        let value = |x: f64, y: f64| {
            let r2 = (x - cx) * (x - cx) + (y - cy) * (y - cy);
            if r2 < radius * radius { 230.0 } else { 90.0 + 0.5 * x }
        };
        let pixel = |x: usize, y: usize| {
            let fine = |k: usize| (k as f64 + 0.5) / 8.0 - 0.5;
            let sum: f64 =
                (0..64).map(|k| value(x as f64 + fine(k % 8), y as f64 + fine(k / 8))).sum();
            (sum / 64.0 + 0.5) as u8
        };
        (0..80 * 80).map(|k| pixel(k % 80, k / 80)).collect()
    }

    #[test]
    fn the_middle_of_a_disc_is_found_from_three_pixels_away() {
        for (cx, cy, radius) in [(40.0, 40.0, 5.0), (39.7, 40.4, 6.3), (40.25, 39.9, 4.0)] {
            let bytes = disc(cx, cy, radius);
            let frame = GreyFrame::new(80, 80, 80, &bytes).unwrap();
            let click = Pixel { x_px: cx.round() + 2.0, y_px: cy.round() - 2.0 };
            let region = Region::around(frame, click, 30);
            let ring = ring_near(&region, click, 5).unwrap();
            let miss = ring.middle.distance_px(Pixel { x_px: cx, y_px: cy });
            // Sixteen points of a circle drawn with whole grey levels.
            assert!(miss < 0.1, "{ring:?}");
            assert!((f64::from(ring.radius_px) - radius).abs() < 1.0, "{ring:?}");
        }
    }

    #[test]
    fn a_straight_edge_is_no_ring() {
        let bytes: Vec<u8> = (0..80 * 80).map(|k| if k % 80 < 40 { 40 } else { 200 }).collect();
        let frame = GreyFrame::new(80, 80, 80, &bytes).unwrap();
        let click = Pixel { x_px: 40.0, y_px: 40.0 };
        assert_eq!(ring_near(&Region::around(frame, click, 30), click, 5), None);
    }
}
