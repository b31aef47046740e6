//! The hall: a painted wall, a floor, a treadmill, a board one metre long and a plumb line.

use super::camera::Camera;
use super::canvas::{Canvas, Colour, Window};
use crate::body::Point;
use crate::noise::{texture, uniform};

/// The two end marks of the board in the plane of motion. Exact: one metre apart.
pub const SCALE_M: [Point; 2] = [Point::new(-1.28, 0.30), Point::new(-1.28, 1.30)];
/// Two points on the plumb line, high and low. Chosen: clear of runner and board.
pub const PLUMB_M: [Point; 2] = [Point::new(-1.62, 1.86), Point::new(-1.62, 0.56)];

/// Back and front of the treadmill's belt. Chosen: 2 m long.
const BELT_M: (f64, f64) = (-1.00, 1.00);
/// Height of the belt's edge, seen from the side. Chosen: some 10 pixels.
const BELT_DEPTH_M: f64 = 0.034;

/// The hall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scenery {
    /// Seed of its textures.
    pub seed: u64,
    /// Whether it has the treadmill.
    pub treadmill: bool,
    /// Brightness of the wall over that of the committed clips.
    pub wall_ratio: f64,
    /// Whether sheets hang on the wall.
    pub sheets: bool,
    /// Whether the corners of the picture are darker (vignetting).
    pub corners: bool,
}

impl Scenery {
    /// The hall of the committed clips.
    #[must_use]
    pub const fn plain(seed: u64) -> Self {
        Self { seed, treadmill: true, wall_ratio: 1.0, sheets: false, corners: true }
    }

    /// The colour at a point, without the runner and with the belt at rest.
    #[must_use]
    pub fn colour(&self, point: Point) -> Colour {
        let seed = self.seed;
        let mut colour = wall(point, seed).map(|c| c * self.wall_ratio as f32);
        if self.sheets {
            colour = sheet(point, seed).unwrap_or(colour);
        }
        colour = floor(point, seed).unwrap_or(colour);
        if self.treadmill {
            colour = treadmill(point, seed).unwrap_or(colour);
        }
        for layer in [plumb_line, board] {
            colour = layer(point, seed).unwrap_or(colour);
        }
        if !self.corners {
            return colour;
        }
        // The corners of the picture are a little darker.
        let off = (point.x_m / 2.6).powi(2) + ((point.y_m - 0.9) / 2.6).powi(2);
        colour.map(|c| c * (1.0 - 0.22 * off as f32))
    }
}

/// The scene of a camera that does not move.
#[must_use]
pub fn hall(camera: &Camera, scenery: &Scenery) -> Canvas {
    Canvas::scene(camera, |point| scenery.colour(point))
}

/// Sheets of paper with bars or squares; each bay of the wall has one or none.
fn sheet(point: Point, seed: u64) -> Option<Colour> {
    /// Chosen: width of a bay.
    const BAY_M: f64 = 1.1;
    let bay = (point.x_m / BAY_M).floor();
    let random = |channel: i64| uniform(seed ^ 0x54EE, bay as i64, channel);
    let (half_m, up_m) = (0.12 + 0.25 * random(1), 1.0 + 0.8 * random(2));
    let across_m = point.x_m - (bay + 0.5) * BAY_M;
    let (u, v) = (across_m / half_m, (point.y_m - up_m) / (0.8 * half_m));
    if u.abs() > 1.0 || v.abs() > 1.0 || random(0) < 0.25 {
        return None;
    }
    let cell = |at: f64, count: f64| ((at + 1.0) * count).floor() as i64;
    let squares = random(3) > 0.5;
    let row = if squares { cell(v, 3.0) } else { 0 };
    let tone = 60.0 + 180.0 * uniform(seed ^ 0x54EF, 16 * bay as i64 + cell(u, 3.0), row);
    let tint = [random(4), random(5), random(6)].map(|c| (0.75 + 0.25 * c) as f32);
    Some(tint.map(|c| c * tone as f32))
}

/// The pixels that the belt can cover.
#[must_use]
pub fn belt_window(camera: &Camera) -> Window {
    let corners =
        [(BELT_M.0, 0.0), (BELT_M.1, 0.0), (BELT_M.0, -BELT_DEPTH_M), (BELT_M.1, -BELT_DEPTH_M)];
    Window::around(&corners.map(|(x_m, y_m)| camera.to_px(Point::new(x_m, y_m))), 1.0)
}

/// Paints the edge of the belt after it has moved by a distance; its pattern moves backward.
pub fn belt(canvas: &mut Canvas, camera: &Camera, moved_m: f64, seed: u64) {
    canvas.paint(belt_window(camera), |x, y| {
        let point = camera.to_m(x, y);
        let edge_m = (point.x_m - BELT_M.0)
            .min(BELT_M.1 - point.x_m)
            .min(-point.y_m)
            .min(point.y_m + BELT_DEPTH_M);
        let coverage = (0.5 + edge_m * camera.px_per_m).clamp(0.0, 1.0) as f32;
        if coverage <= 0.0 {
            return None;
        }
        let along_m = point.x_m + moved_m;
        let grain = texture(seed ^ 0xBE17, along_m * 60.0, point.y_m * 120.0) - 0.5;
        let stitch = (along_m / 0.20).rem_euclid(1.0) < 0.16;
        let grey = 58.0 + 34.0 * grain as f32 + if stitch { 52.0 } else { 0.0 };
        Some((coverage, [grey, grey, grey + 3.0]))
    });
}

fn wall(point: Point, seed: u64) -> Colour {
    // Large painted blocks in courses, each of a slightly different tone.
    let (width_m, height_m) = (0.44, 0.22);
    let course = (point.y_m / height_m).floor();
    let shifted = point.x_m / width_m + 0.5 * course.rem_euclid(2.0);
    let block = shifted.floor();
    let tone = uniform(seed ^ 0x3A11, block as i64, course as i64) - 0.5;
    let (u, v) = ((shifted - block) * width_m, point.y_m - course * height_m);
    let joint = u.min(width_m - u).min(v).min(height_m - v) < 0.006;
    let grain = texture(seed ^ 0x3A12, point.x_m * 90.0, point.y_m * 90.0) - 0.5;
    let cloud = texture(seed ^ 0x3A13, point.x_m * 3.0, point.y_m * 3.0) - 0.5;
    let light = 1.0 + 0.07 * tone + 0.10 * grain + 0.12 * cloud - if joint { 0.16 } else { 0.0 };
    let below = point.y_m < 0.86;
    let base = if below { [134.0, 150.0, 142.0] } else { [176.0, 178.0, 168.0] };
    let line = (point.y_m - 0.86).abs() < 0.012;
    let base = if line { [112.0, 120.0, 116.0] } else { base };
    base.map(|c: f32| c * light as f32)
}

fn floor(point: Point, seed: u64) -> Option<Colour> {
    if point.y_m > 0.10 {
        return None;
    }
    let skirting = point.y_m > 0.055;
    let plank = (point.x_m / 0.31 + 0.13).floor();
    let tone = uniform(seed ^ 0xF100, plank as i64, 0) - 0.5;
    let grain = texture(seed ^ 0xF101, point.x_m * 24.0, point.y_m * 160.0) - 0.5;
    let light = (1.0 + 0.12 * tone + 0.22 * grain) as f32;
    let base: Colour = if skirting { [98.0, 94.0, 88.0] } else { [150.0, 122.0, 92.0] };
    Some(base.map(|c| c * light))
}

fn inside(point: Point, left_m: f64, right_m: f64, low_m: f64, high_m: f64) -> bool {
    (left_m..=right_m).contains(&point.x_m) && (low_m..=high_m).contains(&point.y_m)
}

fn treadmill(point: Point, seed: u64) -> Option<Colour> {
    let grain = (12.0 * (texture(seed ^ 0x7EAD, point.x_m * 70.0, point.y_m * 70.0) - 0.5)) as f32;
    let grey = |level: f32| Some([level + grain, level + grain, level + grain + 4.0]);
    // The upright leans forward a little, towards the console.
    let lean_m = 0.10 * (point.y_m - 0.1);
    let upright = Point::new(point.x_m - lean_m, point.y_m);
    if inside(point, BELT_M.0 - 0.05, BELT_M.1 + 0.16, -0.15, -BELT_DEPTH_M) {
        let lip = point.y_m > -0.052;
        return grey(if lip { 150.0 } else { 84.0 });
    }
    if inside(point, -0.92, -0.84, -0.20, -0.15) || inside(point, 0.90, 1.06, -0.20, -0.15) {
        return grey(52.0);
    }
    if inside(point, BELT_M.1, BELT_M.1 + 0.16, -0.06, 0.05) {
        return grey(96.0);
    }
    if inside(upright, 1.02, 1.09, 0.04, 1.06) {
        return grey(108.0);
    }
    if inside(point, 0.92, 1.22, 1.06, 1.13) {
        return grey(70.0);
    }
    if inside(point, 0.74, 1.12, 0.90, 0.925) && point.x_m < 1.10 {
        return grey(92.0);
    }
    None
}

fn board(point: Point, _seed: u64) -> Option<Colour> {
    let centre_m = SCALE_M[0].x_m;
    let (low_m, high_m) = (SCALE_M[0].y_m, SCALE_M[1].y_m);
    for mark in SCALE_M {
        let radius_m = point.distance_m(mark);
        if radius_m < 0.034 {
            let dark = (point.x_m > mark.x_m) == (point.y_m > mark.y_m);
            let rim = radius_m > 0.028;
            let level = if dark || rim { 26.0 } else { 240.0 };
            return Some([level, level, level]);
        }
    }
    if inside(point, centre_m - 0.045, centre_m + 0.045, low_m - 0.07, high_m + 0.07) {
        let edge = (point.x_m - centre_m).abs() > 0.040;
        let band = ((point.y_m - low_m) / 0.1).floor().rem_euclid(2.0) > 0.5;
        let tick = ((point.y_m - low_m) / 0.1).rem_euclid(1.0) < 0.03;
        let level = if edge || tick {
            120.0
        } else if band {
            222.0
        } else {
            196.0
        };
        return Some([level, level, level - 14.0]);
    }
    let foot = inside(point, centre_m - 0.014, centre_m + 0.014, -0.17, low_m)
        || inside(point, centre_m - 0.16, centre_m + 0.16, -0.19, -0.165);
    foot.then_some([74.0, 70.0, 66.0])
}

fn plumb_line(point: Point, _seed: u64) -> Option<Colour> {
    let (x_m, low_m) = (PLUMB_M[0].x_m, PLUMB_M[1].y_m);
    let off_m = (point.x_m - x_m).abs();
    if off_m < 0.0042 && point.y_m > low_m {
        return Some([34.0, 32.0, 36.0]);
    }
    // A brass bob that ends in a point below the line.
    let below_m = low_m - point.y_m;
    let wide_m = if below_m < 0.06 { 0.022 } else { 0.022 * (1.0 - (below_m - 0.06) / 0.07) };
    ((0.0..0.13).contains(&below_m) && off_m < wide_m).then_some([168.0, 132.0, 62.0])
}
