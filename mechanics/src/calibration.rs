//! From pixels of the image to metres in the plane of motion: scale, vertical and running direction.
//!
//! ```
//! use mechanics::calibration::{Calibration, ScaleBar, Upright};
//! use mechanics::space::{Direction, Pixel};
//!
//! // 320 px along the floor are 1 m; the camera stands level; the runner goes to the right.
//! let bar = ScaleBar {
//!     from: Pixel { x_px: 100.0, y_px: 600.0 },
//!     to: Pixel { x_px: 420.0, y_px: 600.0 },
//!     length_m: 1.0,
//! };
//! let calibration = Calibration::new(bar, Upright::Picture, Direction::Right)?;
//! let hip = calibration.to_point(Pixel { x_px: 260.0, y_px: 280.0 });
//! assert_eq!((hip.x_m, hip.y_m), (0.5, 1.0));
//! # Ok::<(), mechanics::Error>(())
//! ```

use crate::error::{Error, UprightLine};
use crate::space::{Direction, Pixel, Point};
use nalgebra::Vector2;

/// Two points of the image, a known distance apart in the plane of motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScaleBar {
    /// One end.
    pub from: Pixel,
    /// The other end.
    pub to: Pixel,
    /// The distance between them.
    pub length_m: f64,
}

/// How the vertical is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Upright {
    /// The image's own vertical: the camera stands level.
    Picture,
    /// A line that hangs or stands vertically, by its two ends in any order.
    Plumb(Pixel, Pixel),
    /// The ground or the belt, level, by two points in any order.
    Ground(Pixel, Pixel),
}

/// The map from pixels to metres: one scale, one rotation and, for a runner to the left, one reflection.
///
/// `x_m = s f.(p - o)` and `y_m = s u.(p - o)`, with the scale s in metres a pixel, the unit vectors u (up) and
/// f (forward, perpendicular to u) in the image and the origin o. The origin is the first end of the scale bar;
/// only differences matter to the mechanics.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Calibration {
    metres_per_pixel: f64,
    forward: Vector2<f64>,
    up: Vector2<f64>,
    origin: Vector2<f64>,
}

/// Chosen: a line that leans more than 45 degrees is a line of the other kind.
const GREATEST_TILT_RAD: f64 = std::f64::consts::FRAC_PI_4;

/// Chosen: with a shorter bar, an error of one pixel at one end makes the scale wrong by more than a quarter.
const SHORTEST_BAR_PX: f64 = 4.0;

impl Calibration {
    /// A calibration from a scale bar, the vertical and the running direction.
    ///
    /// # Errors
    /// [`Error::Scale`] when the bar is shorter than 4 px or its length is not a positive number;
    /// [`Error::Upright`] when a plumb or ground line is shorter than 4 px or leans more than 45 degrees.
    pub fn new(bar: ScaleBar, upright: Upright, direction: Direction) -> Result<Self, Error> {
        let length_px = (vector(bar.to) - vector(bar.from)).norm();
        let usable_px = length_px.is_finite() && length_px >= SHORTEST_BAR_PX;
        let usable_m = bar.length_m.is_finite() && bar.length_m > 0.0;
        if !(usable_px && usable_m) {
            return Err(Error::Scale { length_px, length_m: bar.length_m });
        }
        let up = up_in_image(upright)?;
        let right = Vector2::new(-up.y, up.x);
        let forward = match direction {
            Direction::Right => right,
            Direction::Left => -right,
        };
        let metres_per_pixel = bar.length_m / length_px;
        Ok(Self { metres_per_pixel, forward, up, origin: vector(bar.from) })
    }

    /// The point in the plane of motion that this pixel shows.
    #[must_use]
    pub fn to_point(&self, pixel: Pixel) -> Point {
        let from_origin = (vector(pixel) - self.origin) * self.metres_per_pixel;
        Point { x_m: self.forward.dot(&from_origin), y_m: self.up.dot(&from_origin) }
    }

    /// Length of one pixel in the plane of motion.
    #[must_use]
    pub fn metres_per_pixel(&self) -> f64 {
        self.metres_per_pixel
    }

    /// Roll of the camera: the image's vertical against the true one, counter-clockwise positive.
    #[must_use]
    pub fn roll_rad(&self) -> f64 {
        self.up.x.atan2(-self.up.y)
    }
}

fn vector(pixel: Pixel) -> Vector2<f64> {
    Vector2::new(pixel.x_px, pixel.y_px)
}

/// The unit vector that points up, in the image's axes (y down).
fn up_in_image(upright: Upright) -> Result<Vector2<f64>, Error> {
    let image_up = Vector2::new(0.0, -1.0);
    let (line, up) = match upright {
        Upright::Picture => return Ok(image_up),
        Upright::Plumb(a, b) => (UprightLine::Plumb, vector(a) - vector(b)),
        Upright::Ground(a, b) => {
            let along = vector(b) - vector(a);
            (UprightLine::Ground, Vector2::new(along.y, -along.x))
        }
    };
    let up = if up.y > 0.0 { -up } else { up };
    let tilt_rad = up.x.atan2(-up.y).abs();
    let length_px = up.norm();
    if !(length_px.is_finite() && length_px >= SHORTEST_BAR_PX) || tilt_rad > GREATEST_TILT_RAD {
        return Err(Error::Upright { line, tilt_rad });
    }
    Ok(up / length_px)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pixel(x_px: f64, y_px: f64) -> Pixel {
        Pixel { x_px, y_px }
    }

    fn bar() -> ScaleBar {
        ScaleBar { from: pixel(100.0, 600.0), to: pixel(420.0, 600.0), length_m: 1.0 }
    }

    fn assert_close(a: Point, x_m: f64, y_m: f64) {
        assert!((a.x_m - x_m).abs() < 1e-12 && (a.y_m - y_m).abs() < 1e-12, "{a:?}");
    }

    #[test]
    fn forward_is_right_for_a_runner_to_the_right_and_left_for_one_to_the_left() {
        let right = Calibration::new(bar(), Upright::Picture, Direction::Right).unwrap();
        assert_close(right.to_point(pixel(420.0, 440.0)), 1.0, 0.5);
        let left = Calibration::new(bar(), Upright::Picture, Direction::Left).unwrap();
        assert_close(left.to_point(pixel(420.0, 440.0)), -1.0, 0.5);
    }

    #[test]
    fn a_plumb_or_ground_line_corrects_a_rolled_camera() {
        let roll = 1.2_f64.to_radians();
        let turn = |x: f64, y: f64| {
            pixel(640.0 + x * roll.cos() - y * roll.sin(), 360.0 + x * roll.sin() + y * roll.cos())
        };
        let bar = ScaleBar { from: turn(0.0, 0.0), to: turn(320.0, 0.0), length_m: 1.0 };
        for upright in [
            Upright::Plumb(turn(0.0, 100.0), turn(0.0, -100.0)),
            Upright::Plumb(turn(5.0, -100.0), turn(5.0, 100.0)),
            Upright::Ground(turn(300.0, 50.0), turn(-300.0, 50.0)),
            Upright::Ground(turn(-300.0, 50.0), turn(300.0, 50.0)),
        ] {
            let calibration = Calibration::new(bar, upright, Direction::Right).unwrap();
            assert_close(calibration.to_point(turn(160.0, -320.0)), 0.5, 1.0);
            assert!((calibration.roll_rad().abs() - roll).abs() < 1e-12);
        }
    }

    /// The pixel that shows a point: the inverse of [`Calibration::to_point`].
    fn to_pixel(calibration: &Calibration, point: Point) -> Pixel {
        let in_metres = calibration.forward * point.x_m + calibration.up * point.y_m;
        let at = calibration.origin + in_metres / calibration.metres_per_pixel;
        pixel(at.x, at.y)
    }

    #[test]
    fn to_point_is_inverted_by_the_projection_of_a_point() {
        let upright = Upright::Ground(pixel(0.0, 700.0), pixel(1000.0, 720.0));
        for direction in [Direction::Left, Direction::Right] {
            let calibration = Calibration::new(bar(), upright, direction).unwrap();
            let back = to_pixel(&calibration, calibration.to_point(pixel(611.5, 99.25)));
            assert!((back.x_px - 611.5).abs() < 1e-9 && (back.y_px - 99.25).abs() < 1e-9);
        }
    }

    #[test]
    fn a_scale_without_length_and_a_line_of_the_wrong_kind_are_refused() {
        let mut empty = bar();
        empty.to = empty.from;
        assert!(matches!(
            Calibration::new(empty, Upright::Picture, Direction::Right),
            Err(Error::Scale { .. })
        ));
        for length_m in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let bar = ScaleBar { length_m, ..bar() };
            assert!(Calibration::new(bar, Upright::Picture, Direction::Right).is_err());
        }
        let level = Upright::Plumb(pixel(0.0, 0.0), pixel(500.0, 3.0));
        let error = Calibration::new(bar(), level, Direction::Right).unwrap_err();
        assert!(matches!(error, Error::Upright { line: UprightLine::Plumb, .. }), "{error}");
    }
}
