//! A rotation as a direction, so that no sine is computed that another machine would round differently.

/// The largest angle that [`Rotation::angle_rad`] gives.
///
/// Chosen: beyond any angle that is used, so that a half turn stays a number.
const MOST_RAD: f64 = 20.0;
/// Least divisor of a half angle's tangent.
///
/// Chosen: keeps a half turn from a division by zero.
const LEAST_DIVISOR: f64 = 1e-9;

/// A rotation about a middle, clockwise in the picture: its cosine and its sine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rotation {
    /// Cosine.
    pub cos: f64,
    /// Sine.
    pub sin: f64,
}

impl Rotation {
    /// No rotation.
    pub const IDENTITY: Self = Self { cos: 1.0, sin: 0.0 };

    /// The rotation from the x axis to `(x, y)`; none if both are zero.
    #[must_use]
    pub fn along(x: f64, y: f64) -> Self {
        let length = (x * x + y * y).sqrt();
        if length > 0.0 { Self { cos: x / length, sin: y / length } } else { Self::IDENTITY }
    }

    /// The rotation whose half has the tangent `0.5 angle`: the angle itself but for its third power over twelve.
    #[must_use]
    pub fn small_angle(angle_rad: f64) -> Self {
        let t = 0.5 * angle_rad;
        let square = t * t;
        Self { cos: (1.0 - square) / (1.0 + square), sin: 2.0 * t / (1.0 + square) }
    }

    /// The inverse of [`Rotation::small_angle`]: twice the tangent of the half angle, at most 20.
    #[must_use]
    pub fn angle_rad(self) -> f64 {
        (2.0 * self.sin / (1.0 + self.cos).max(LEAST_DIVISOR)).clamp(-MOST_RAD, MOST_RAD)
    }

    /// This rotation and then another.
    #[must_use]
    pub fn then(self, other: Self) -> Self {
        Self::along(
            self.cos * other.cos - self.sin * other.sin,
            self.sin * other.cos + self.cos * other.sin,
        )
    }

    /// The rotation back.
    #[must_use]
    pub fn inverse(self) -> Self {
        Self { cos: self.cos, sin: -self.sin }
    }

    /// A vector rotated.
    #[must_use]
    pub fn apply(self, (dx, dy): (f64, f64)) -> (f64, f64) {
        (self.cos * dx - self.sin * dy, self.sin * dx + self.cos * dy)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_rotation_is_its_angle_and_rotations_add_up() {
        let one = Rotation::small_angle(0.1);
        assert!((one.sin - 0.1_f64.sin()).abs() < 1e-4);
        assert!((one.then(one).sin - 0.2_f64.sin()).abs() < 2e-4);
        assert!((one.angle_rad() - 0.1).abs() < 1e-12);
        assert!((one.then(one.inverse()).sin).abs() < 1e-15);
    }

    #[test]
    fn a_quarter_turn_takes_right_to_down() {
        let quarter = Rotation::along(0.0, 2.0);
        assert_eq!(quarter.apply((3.0, 0.0)), (0.0, 3.0));
    }
}
