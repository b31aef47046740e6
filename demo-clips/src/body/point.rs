//! A point in the plane of motion.

/// A point in the plane of motion: x forward, y up, in metres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Forward.
    pub x_m: f64,
    /// Up, from the surface of the belt.
    pub y_m: f64,
}

impl Point {
    /// The point at these coordinates.
    #[must_use]
    pub const fn new(x_m: f64, y_m: f64) -> Self {
        Self { x_m, y_m }
    }

    /// The point at a distance in a direction measured from straight down, forward positive.
    #[must_use]
    pub fn hanging(self, length_m: f64, angle_rad: f64) -> Self {
        Self::new(self.x_m + length_m * angle_rad.sin(), self.y_m - length_m * angle_rad.cos())
    }

    /// The point moved by an offset that is given in a frame rotated counter-clockwise by an angle.
    #[must_use]
    pub fn offset(self, local: Point, angle_rad: f64) -> Self {
        let (sine, cosine) = angle_rad.sin_cos();
        Self::new(
            self.x_m + local.x_m * cosine - local.y_m * sine,
            self.y_m + local.x_m * sine + local.y_m * cosine,
        )
    }

    /// The point at a fraction of the way to another one.
    #[must_use]
    pub fn towards(self, other: Point, fraction: f64) -> Self {
        Self::new(
            self.x_m + fraction * (other.x_m - self.x_m),
            self.y_m + fraction * (other.y_m - self.y_m),
        )
    }

    /// The distance to another point, in metres.
    #[must_use]
    pub fn distance_m(self, other: Point) -> f64 {
        (other.x_m - self.x_m).hypot(other.y_m - self.y_m)
    }
}
