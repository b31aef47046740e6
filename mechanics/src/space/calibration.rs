//! From a place in the picture to a place in the plane of motion: scale, upright and direction.

use super::{Direction, Pixel, Point};
use crate::Error;
use nalgebra::Vector2;

/// Two places in the picture a known length apart in the plane of motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScaleBar {
    /// One end.
    pub from: Pixel,
    /// The other end.
    pub to: Pixel,
    /// The distance between them.
    pub length_m: f64,
}

/// What tells which way is up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Upright {
    /// The picture's own vertical: the camera stands level.
    Picture,
    /// A line that hangs or stands upright, marked by its two ends in any order.
    Plumb(Pixel, Pixel),
    /// The ground or the belt, level, marked by two places in any order.
    Ground(Pixel, Pixel),
}

/// The way from pixels to metres: one scale, one rotation and, for a runner to the left, one mirror.
///
/// `x_m = s r.(p - o)`, `y_m = s u.(p - o)` with the scale s in metres a pixel, the unit vectors u (up)
/// and r (forward, at right angles to u) in the picture and the origin o. The origin is the first end
/// of the scale bar; only differences matter to the mechanics.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Calibration {
    metres_per_pixel: f64,
    forward: Vector2<f64>,
    up: Vector2<f64>,
    origin: Vector2<f64>,
}

/// Chosen: a line more than 45 degrees off is a line of the other kind.
const GREATEST_TILT_RAD: f64 = std::f64::consts::FRAC_PI_4;

/// Chosen: a bar shorter than this tells the length worse than 1 in 4 when an end is off by a pixel.
const SHORTEST_BAR_PX: f64 = 4.0;

impl Calibration {
    /// A calibration from a scale bar, what is upright and which way the runner goes.
    ///
    /// # Errors
    /// [`Error::Scale`] when the bar is shorter than 4 px or its length is not a positive number;
    /// [`Error::Upright`] when a plumb or ground line has no length or is more than 45 degrees off.
    pub fn new(bar: ScaleBar, upright: Upright, direction: Direction) -> Result<Self, Error> {
        let length_px = (vector(bar.to) - vector(bar.from)).norm();
        let usable_px = length_px.is_finite() && length_px >= SHORTEST_BAR_PX;
        let usable_m = bar.length_m.is_finite() && bar.length_m > 0.0;
        if !(usable_px && usable_m) {
            return Err(Error::Scale { length_px, length_m: bar.length_m });
        }
        let up = up_in_picture(upright)?;
        let right = Vector2::new(-up.y, up.x);
        let forward = match direction {
            Direction::Right => right,
            Direction::Left => -right,
        };
        let metres_per_pixel = bar.length_m / length_px;
        Ok(Self { metres_per_pixel, forward, up, origin: vector(bar.from) })
    }

    /// The place in the plane of motion that is seen here.
    #[must_use]
    pub fn to_point(&self, pixel: Pixel) -> Point {
        let from_origin = (vector(pixel) - self.origin) * self.metres_per_pixel;
        Point { x_m: self.forward.dot(&from_origin), y_m: self.up.dot(&from_origin) }
    }

    /// Where this place in the plane of motion is seen.
    #[must_use]
    pub fn to_pixel(&self, point: Point) -> Pixel {
        let in_metres = self.forward * point.x_m + self.up * point.y_m;
        let place = self.origin + in_metres / self.metres_per_pixel;
        Pixel { x_px: place.x, y_px: place.y }
    }

    /// Length in the plane of motion of one pixel.
    #[must_use]
    pub fn metres_per_pixel(&self) -> f64 {
        self.metres_per_pixel
    }

    /// How far the camera is rolled: the picture's vertical against the true one, counter-clockwise positive.
    #[must_use]
    pub fn roll_rad(&self) -> f64 {
        self.up.x.atan2(-self.up.y)
    }
}

fn vector(pixel: Pixel) -> Vector2<f64> {
    Vector2::new(pixel.x_px, pixel.y_px)
}

/// The unit vector, in the picture's own axes (y down), that points up.
fn up_in_picture(upright: Upright) -> Result<Vector2<f64>, Error> {
    let picture_up = Vector2::new(0.0, -1.0);
    let (line, towards) = match upright {
        Upright::Picture => return Ok(picture_up),
        Upright::Plumb(a, b) => ("plumb", vector(a) - vector(b)),
        Upright::Ground(a, b) => {
            let along = vector(b) - vector(a);
            ("ground", Vector2::new(along.y, -along.x))
        }
    };
    let towards = if towards.y > 0.0 { -towards } else { towards };
    let tilt_rad = towards.x.atan2(-towards.y).abs();
    let length = towards.norm();
    if !(length.is_finite() && length >= SHORTEST_BAR_PX) || tilt_rad > GREATEST_TILT_RAD {
        return Err(Error::Upright { line, tilt_rad });
    }
    Ok(towards / length)
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

    fn close(a: Point, x_m: f64, y_m: f64) {
        assert!((a.x_m - x_m).abs() < 1e-12 && (a.y_m - y_m).abs() < 1e-12, "{a:?}");
    }

    #[test]
    fn forward_is_right_for_a_runner_to_the_right_and_left_for_one_to_the_left() {
        let right = Calibration::new(bar(), Upright::Picture, Direction::Right).unwrap();
        close(right.to_point(pixel(420.0, 440.0)), 1.0, 0.5);
        let left = Calibration::new(bar(), Upright::Picture, Direction::Left).unwrap();
        close(left.to_point(pixel(420.0, 440.0)), -1.0, 0.5);
    }

    #[test]
    fn a_rolled_camera_is_set_right_by_a_plumb_line_or_by_the_ground() {
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
            close(calibration.to_point(turn(160.0, -320.0)), 0.5, 1.0);
            assert!((calibration.roll_rad().abs() - roll).abs() < 1e-12);
        }
    }

    #[test]
    fn to_pixel_undoes_to_point() {
        let upright = Upright::Ground(pixel(0.0, 700.0), pixel(1000.0, 720.0));
        for direction in [Direction::Left, Direction::Right] {
            let calibration = Calibration::new(bar(), upright, direction).unwrap();
            let back = calibration.to_pixel(calibration.to_point(pixel(611.5, 99.25)));
            assert!((back.x_px - 611.5).abs() < 1e-9 && (back.y_px - 99.25).abs() < 1e-9);
        }
    }

    #[test]
    fn a_scale_of_no_length_and_a_line_of_the_wrong_kind_say_so() {
        let mut none = bar();
        none.to = none.from;
        assert!(matches!(
            Calibration::new(none, Upright::Picture, Direction::Right),
            Err(Error::Scale { .. })
        ));
        for length_m in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let bar = ScaleBar { length_m, ..bar() };
            assert!(Calibration::new(bar, Upright::Picture, Direction::Right).is_err());
        }
        let level = Upright::Plumb(pixel(0.0, 0.0), pixel(500.0, 3.0));
        let error = Calibration::new(bar(), level, Direction::Right).unwrap_err();
        assert!(error.to_string().contains("plumb"), "{error}");
    }
}
