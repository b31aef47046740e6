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
}

/// What makes an edge that of a sticker.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Edge {
    /// At least such a step in grey levels, and alike on all sides.
    Even(f32),
    /// At least such a step on three sides of four, all lighter or all darker outside, and alike inside: whatever is
    /// behind the sticker.
    Uneven(f32),
}

/// Chosen: an even edge is less uneven than this share of its strength.
const MOST_UNEVEN: f32 = 0.35;
/// Chosen: what a spread takes from what speaks for a ring.
const SPREAD_COST: f32 = 1.5;
/// Chosen: from the smallest disc with a middle of its own to a large sticker in a 1080-line picture, in half pixels.
const RADII: std::ops::RangeInclusive<usize> = 5..=24;
/// Chosen: smaller than so many half pixels, what is alike inside and not outside is any speck.
const LEAST_UNEVEN: usize = 9;

impl Edge {
    /// Chosen: the step of a sticker that is known for one by its edge in grey alone.
    pub const STRONG: Self = Self::Even(30.0);

    fn radii(self) -> std::ops::RangeInclusive<usize> {
        match self {
            Self::Even(_) => RADII,
            Self::Uneven(_) => LEAST_UNEVEN..=*RADII.end(),
        }
    }

    /// What speaks for a circle, in grey levels.
    fn score(self, circle: &Circle) -> f32 {
        match self {
            Self::Even(_) => {
                let (mean, spread) = mean_and_spread(&circle.steps);
                mean.abs() - SPREAD_COST * spread
            }
            Self::Uneven(_) => {
                circle.least_step() - SPREAD_COST * mean_and_spread(&circle.inside).1
            }
        }
    }

    fn accepts(self, circle: &Circle) -> bool {
        let (strength, least, spread) = match self {
            Self::Even(least) => {
                let (mean, spread) = mean_and_spread(&circle.steps);
                (mean.abs(), least, spread)
            }
            Self::Uneven(least) => (circle.least_step(), least, mean_and_spread(&circle.inside).1),
        };
        strength >= least && spread <= MOST_UNEVEN * strength
    }
}

/// One number for each of sixteen directions.
pub type Around = [f32; DIRECTIONS.len()];

/// A circle in a picture: what is just inside of it, and the steps outward over two pixels.
struct Circle {
    inside: Around,
    steps: Around,
}

impl Circle {
    /// `None` where it leaves the plane.
    fn of(plane: &Plane, (x, y): (f32, f32), radius: f32) -> Option<Self> {
        let mut circle = Self { inside: [0.0; DIRECTIONS.len()], steps: [0.0; DIRECTIONS.len()] };
        let both = circle.inside.iter_mut().zip(&mut circle.steps);
        for ((inside, step), (ux, uy)) in both.zip(DIRECTIONS) {
            let at = |r: f32| plane.bilinear(x + r * ux, y + r * uy);
            let outside = at(radius + 1.0)?;
            *inside = at(radius - 1.0)?;
            *step = outside - *inside;
        }
        Some(circle)
    }

    /// The step that three directions of four have or pass, the way most of them go.
    fn least_step(&self) -> f32 {
        let sum: f32 = self.steps.iter().sum();
        let mut steps = self.steps.map(|step| if sum < 0.0 { -step } else { step });
        steps.sort_unstable_by(f32::total_cmp);
        steps[steps.len() / 4]
    }
}

/// The ring of such an edge that most speaks for, with its middle within `reach` pixels of a place; `None` where
/// there is none.
#[must_use]
pub fn ring_near(region: &Region, at: Pixel, reach_px: usize, edge: Edge) -> Option<Ring> {
    let plane = region.level(0);
    let centre = region.local(at, 0);
    let mut best: Option<(f32, (f32, f32), f32)> = None;
    let steps = 2 * reach_px as i64;
    for (j, i) in (-steps..=steps).flat_map(|j| (-steps..=steps).map(move |i| (j, i))) {
        if i * i + j * j > steps * steps {
            continue;
        }
        let middle = (centre.0 + 0.5 * i as f32, centre.1 + 0.5 * j as f32);
        for half_radius in edge.radii() {
            let radius = 0.5 * half_radius as f32;
            let Some(circle) = Circle::of(plane, middle, radius) else { continue };
            let score = edge.score(&circle);
            if best.is_none_or(|(old, _, _)| score > old) {
                best = Some((score, middle, radius));
            }
        }
    }
    let (_, middle, radius) = best?;
    let middle = match edge {
        Edge::Even(_) => settle(plane, middle, radius)?,
        // What is behind it would draw the middle of symmetry.
        Edge::Uneven(_) => middle,
    };
    let accepted = edge.accepts(&Circle::of(plane, middle, radius)?);
    let middle = region.global(middle.0, middle.1);
    let near = middle.distance_px(at) <= reach_px as f64 + 0.5;
    (accepted && near).then_some(Ring { middle, radius_px: radius })
}

/// The steps across a ring outward over two pixels, in a region that may be another one than it was found in; `None`
/// where it leaves it.
#[must_use]
pub fn ring_steps(region: &Region, ring: &Ring) -> Option<Around> {
    Some(Circle::of(region.level(0), region.local(ring.middle, 0), ring.radius_px)?.steps)
}

/// Mean and standard deviation.
pub fn mean_and_spread(values: &Around) -> (f32, f32) {
    let (mut sum, mut square) = (0.0_f32, 0.0_f32);
    for value in values {
        sum += value;
        square += value * value;
    }
    let count = values.len() as f32;
    let mean = sum / count;
    (mean, (square / count - mean * mean).max(0.0).sqrt())
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
            let ring = ring_near(&region, click, 5, Edge::STRONG).unwrap();
            let miss = ring.middle.distance_px(Pixel { x_px: cx, y_px: cy });
            // Sixteen points of a circle drawn with whole grey levels.
            assert!(miss < 0.1, "{ring:?}");
            assert!((f64::from(ring.radius_px) - radius).abs() < 1.0, "{ring:?}");
        }
    }

    #[test]
    fn a_dark_disc_half_on_dark_and_half_on_light_is_found_as_uneven_only() {
        let value = |x: usize, y: usize| {
            let (dx, dy) = (x as f64 - 41.0, y as f64 - 39.0);
            // A step of 20 levels on the left, of 160 on the right.
            if dx * dx + dy * dy < 64.0 {
                20
            } else if x < 41 {
                40
            } else {
                180
            }
        };
        let bytes: Vec<u8> = (0..80 * 80).map(|k| value(k % 80, k / 80)).collect();
        let frame = GreyFrame::new(80, 80, 80, &bytes).unwrap();
        let click = Pixel { x_px: 43.0, y_px: 37.0 };
        let region = Region::around(frame, click, 30);
        assert_eq!(ring_near(&region, click, 5, Edge::STRONG), None);
        let ring = ring_near(&region, click, 5, Edge::Uneven(10.0)).unwrap();
        // Places are tried half a pixel apart.
        assert!(ring.middle.distance_px(Pixel { x_px: 41.0, y_px: 39.0 }) < 1.0, "{ring:?}");
        assert!((ring.radius_px - 8.0).abs() <= 1.0, "{ring:?}");
    }

    #[test]
    fn a_straight_edge_is_no_ring() {
        let bytes: Vec<u8> = (0..80 * 80).map(|k| if k % 80 < 40 { 40 } else { 200 }).collect();
        let frame = GreyFrame::new(80, 80, 80, &bytes).unwrap();
        let click = Pixel { x_px: 40.0, y_px: 40.0 };
        let region = Region::around(frame, click, 30);
        assert_eq!(ring_near(&region, click, 5, Edge::STRONG), None);
        assert_eq!(ring_near(&region, click, 5, Edge::Uneven(10.0)), None);
    }
}
