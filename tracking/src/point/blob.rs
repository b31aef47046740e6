//! Round blobs: an edge at the same distance from a centre on all sides.

use crate::image::{ImagePoint, Plane, Region};
use crate::scales::{BLOB_RADII_HALF_PX, UNEVEN_BLOB_HALF_PX};

/// Sixteen directions about the circle.
///
/// Exact: the cosines of multiples of a sixteenth of a circle.
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

/// A round blob.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blob {
    /// Its centre.
    pub centre: ImagePoint,
    /// Its radius.
    pub radius_px: f32,
}

/// What makes an edge a sticker's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Edge {
    /// At least such a step in grey levels, alike on all sides.
    Even(f32),
    /// At least such a step on three sides of four, all lighter or all darker outside, and alike inside: whatever the
    /// background of the sticker.
    Uneven(f32),
}

/// The most that an edge varies, over its strength.
///
/// Chosen: by trial on the worked clips, no record.
const MOST_SPREAD_RATIO: f32 = 0.35;
/// What each standard deviation of an edge takes from its score.
///
/// Chosen: by trial on the worked clips, no record.
const SPREAD_COST: f32 = 1.5;
/// Iterations in which a centre of symmetry settles.
///
/// Chosen: fits that settle do so in fewer; by trial on the worked clips, no record.
const SYMMETRY_ITERATIONS: usize = 12;
/// The furthest that a centre moves while it settles.
///
/// Chosen: by trial on the worked clips, no record. Truly of pixels: circles are tried half a pixel apart.
const SYMMETRY_REACH_PX: f32 = 2.0;
/// What a disc of symmetry is larger than the blob.
///
/// Chosen: so that its edge counts.
const SYMMETRY_MARGIN_PX: usize = 2;
/// What is added to the gram matrix, so that a window of one grey has a step of zero.
///
/// Chosen: far below a squared grey level.
const RIDGE: f32 = 1e-3;
/// Half of the step across an edge.
///
/// Chosen: an edge is blurred over about two pixels. Truly of pixels.
const EDGE_HALF_PX: f32 = 1.0;
/// Circles are tried so far apart, and their radii.
///
/// Chosen: half a pixel; the centre is settled after that.
const STEP_PX: f32 = 0.5;

impl Edge {
    /// The edge of a sticker that grey alone shows to be one.
    ///
    /// Chosen: no shading of skin or cloth of the worked clips has so even a step; by trial, no record.
    pub const STRONG: Self = Self::Even(30.0);

    fn radii(self) -> std::ops::RangeInclusive<usize> {
        match self {
            Self::Even(_) => BLOB_RADII_HALF_PX,
            Self::Uneven(_) => UNEVEN_BLOB_HALF_PX..=*BLOB_RADII_HALF_PX.end(),
        }
    }

    /// The score of a circle, in grey levels.
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
        strength >= least && spread <= MOST_SPREAD_RATIO * strength
    }
}

/// One number for each of sixteen directions.
pub type CircleSamples = [f32; DIRECTIONS.len()];

/// A circle in a picture: the values just inside it, and the steps outward over two pixels.
struct Circle {
    inside: CircleSamples,
    steps: CircleSamples,
}

impl Circle {
    /// `None` if it leaves the plane.
    fn of(plane: &Plane, (x, y): (f32, f32), radius: f32) -> Option<Self> {
        let mut circle = Self { inside: [0.0; DIRECTIONS.len()], steps: [0.0; DIRECTIONS.len()] };
        let both = circle.inside.iter_mut().zip(&mut circle.steps);
        for ((inside, step), (ux, uy)) in both.zip(DIRECTIONS) {
            let at = |r: f32| plane.bilinear(x + r * ux, y + r * uy);
            let outside = at(radius + EDGE_HALF_PX)?;
            *inside = at(radius - EDGE_HALF_PX)?;
            *step = outside - *inside;
        }
        Some(circle)
    }

    /// The step that three directions of four reach, in the sense of most of them.
    fn least_step(&self) -> f32 {
        let sum: f32 = self.steps.iter().sum();
        let mut steps = self.steps.map(|step| if sum < 0.0 { -step } else { step });
        steps.sort_unstable_by(f32::total_cmp);
        steps[steps.len() / 4]
    }
}

/// The blob of such an edge with the best score, its centre within `reach` pixels of a place; `None` if there is none.
#[must_use]
pub fn find_blob(region: &Region, at: ImagePoint, reach_px: usize, edge: Edge) -> Option<Blob> {
    let plane = region.level(0);
    let click = region.local(at, 0);
    let mut best: Option<(f32, (f32, f32), f32)> = None;
    let steps = 2 * reach_px as i64;
    for (j, i) in (-steps..=steps).flat_map(|j| (-steps..=steps).map(move |i| (j, i))) {
        if i * i + j * j > steps * steps {
            continue;
        }
        let centre = (click.0 + STEP_PX * i as f32, click.1 + STEP_PX * j as f32);
        for half_radius in edge.radii() {
            let radius = STEP_PX * half_radius as f32;
            let Some(circle) = Circle::of(plane, centre, radius) else { continue };
            let score = edge.score(&circle);
            if best.is_none_or(|(old, _, _)| score > old) {
                best = Some((score, centre, radius));
            }
        }
    }
    let (_, centre, radius) = best?;
    let centre = match edge {
        Edge::Even(_) => settle(plane, centre, radius)?,
        // Its background would draw the centre of symmetry.
        Edge::Uneven(_) => centre,
    };
    let accepted = edge.accepts(&Circle::of(plane, centre, radius)?);
    let centre = region.global(centre.0, centre.1);
    let near = centre.distance_px(at) <= reach_px as f64 + f64::from(STEP_PX);
    (accepted && near).then_some(Blob { centre, radius_px: radius })
}

/// The steps outward across a blob's edge over two pixels, in any region; `None` if the blob leaves it.
#[must_use]
pub fn edge_steps(region: &Region, blob: &Blob) -> Option<CircleSamples> {
    Some(Circle::of(region.level(0), region.local(blob.centre, 0), blob.radius_px)?.steps)
}

/// Mean and standard deviation.
pub fn mean_and_spread(values: &CircleSamples) -> (f32, f32) {
    let (mut sum, mut square) = (0.0_f32, 0.0_f32);
    for value in values {
        sum += value;
        square += value * value;
    }
    let count = values.len() as f32;
    let mean = sum / count;
    (mean, (square / count - mean * mean).max(0.0).sqrt())
}

/// Moves the centre until opposite sides are alike: minimises `sum (v(c + u) - v(c - u))^2` over a disc a little larger than
/// the blob by Gauss-Newton with central differences.
fn settle(plane: &Plane, start: (f32, f32), radius: f32) -> Option<(f32, f32)> {
    let half = radius as usize + SYMMETRY_MARGIN_PX;
    let mut centre = start;
    let mut window = Vec::new();
    for _ in 0..SYMMETRY_ITERATIONS {
        plane.window(centre.0, centre.1, half + 1, &mut window).then_some(())?;
        let step = symmetry_step(&window, half);
        centre = (centre.0 + step.0, centre.1 + step.1);
        let (dx, dy) = (centre.0 - start.0, centre.1 - start.1);
        if dx * dx + dy * dy > SYMMETRY_REACH_PX * SYMMETRY_REACH_PX {
            return None;
        }
    }
    Some(centre)
}

/// One Gauss-Newton step toward the centre of symmetry of a window of `2 half + 3` pixels.
fn symmetry_step(window: &[f32], half: usize) -> (f32, f32) {
    let side = 2 * half + 3;
    let value = |x: usize, y: usize| window.get(y * side + x).copied().unwrap_or(0.0);
    let slope = |x: usize, y: usize| {
        (0.5 * (value(x + 1, y) - value(x - 1, y)), 0.5 * (value(x, y + 1) - value(x, y - 1)))
    };
    let (mut xx, mut xy, mut yy, mut bx, mut by) = (RIDGE, 0.0_f32, RIDGE, 0.0_f32, 0.0_f32);
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

    /// A light disc on a sloping background, each pixel the mean of 8 by 8 points in it.
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
    fn the_centre_of_a_disc_is_found_from_three_pixels_away() {
        for (cx, cy, radius) in [(40.0, 40.0, 5.0), (39.7, 40.4, 6.3), (40.25, 39.9, 4.0)] {
            let bytes = disc(cx, cy, radius);
            let frame = GreyFrame::new(80, 80, 80, &bytes).unwrap();
            let click = ImagePoint { x_px: cx.round() + 2.0, y_px: cy.round() - 2.0 };
            let region = Region::around(frame, click, 30);
            let blob = find_blob(&region, click, 5, Edge::STRONG).unwrap();
            let miss = blob.centre.distance_px(ImagePoint { x_px: cx, y_px: cy });
            // Sixteen points of a circle drawn in whole grey levels.
            assert!(miss < 0.1, "{blob:?}");
            assert!((f64::from(blob.radius_px) - radius).abs() < 1.0, "{blob:?}");
        }
    }

    #[test]
    fn a_dark_disc_half_on_dark_and_half_on_light_has_an_uneven_edge_only() {
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
        let click = ImagePoint { x_px: 43.0, y_px: 37.0 };
        let region = Region::around(frame, click, 30);
        assert_eq!(find_blob(&region, click, 5, Edge::STRONG), None);
        let blob = find_blob(&region, click, 5, Edge::Uneven(10.0)).unwrap();
        // Centres are tried half a pixel apart.
        assert!(blob.centre.distance_px(ImagePoint { x_px: 41.0, y_px: 39.0 }) < 1.0, "{blob:?}");
        assert!((blob.radius_px - 8.0).abs() <= 1.0, "{blob:?}");
    }

    #[test]
    fn a_straight_edge_is_no_blob() {
        let bytes: Vec<u8> = (0..80 * 80).map(|k| if k % 80 < 40 { 40 } else { 200 }).collect();
        let frame = GreyFrame::new(80, 80, 80, &bytes).unwrap();
        let click = ImagePoint { x_px: 40.0, y_px: 40.0 };
        let region = Region::around(frame, click, 30);
        assert_eq!(find_blob(&region, click, 5, Edge::STRONG), None);
        assert_eq!(find_blob(&region, click, 5, Edge::Uneven(10.0)), None);
    }
}
