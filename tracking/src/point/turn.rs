//! An angle as a direction, so that nothing is computed with a sine that another machine would round otherwise.

/// A turn about a middle, clockwise in the picture: its cosine and its sine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// Cosine.
    pub cos: f64,
    /// Sine.
    pub sin: f64,
}

impl Turn {
    /// No turn.
    pub const NONE: Self = Self { cos: 1.0, sin: 0.0 };

    /// The direction of `(x, y)`, not turned where both are zero.
    #[must_use]
    pub fn along(x: f64, y: f64) -> Self {
        let length = (x * x + y * y).sqrt();
        if length > 0.0 { Self { cos: x / length, sin: y / length } } else { Self::NONE }
    }

    /// The turn whose half has the tangent `0.5 angle`: the angle itself, but for its third power over twelve.
    #[must_use]
    pub fn small(angle_rad: f64) -> Self {
        let t = 0.5 * angle_rad;
        let square = t * t;
        Self { cos: (1.0 - square) / (1.0 + square), sin: 2.0 * t / (1.0 + square) }
    }

    /// What [`Turn::small`] makes this turn of: twice the tangent of its half, at most 20.
    #[must_use]
    pub fn angle_rad(self) -> f64 {
        (2.0 * self.sin / (1.0 + self.cos).max(1e-9)).clamp(-20.0, 20.0)
    }

    /// This turn and then another.
    #[must_use]
    pub fn then(self, other: Self) -> Self {
        Self::along(
            self.cos * other.cos - self.sin * other.sin,
            self.sin * other.cos + self.cos * other.sin,
        )
    }

    /// The turn back.
    #[must_use]
    pub fn back(self) -> Self {
        Self { cos: self.cos, sin: -self.sin }
    }

    /// Where a step goes when it is turned.
    #[must_use]
    pub fn of(self, (dx, dy): (f64, f64)) -> (f64, f64) {
        (self.cos * dx - self.sin * dy, self.sin * dx + self.cos * dy)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_turn_is_its_angle_and_turns_add_up() {
        let one = Turn::small(0.1);
        assert!((one.sin - 0.1_f64.sin()).abs() < 1e-4);
        assert!((one.then(one).sin - 0.2_f64.sin()).abs() < 2e-4);
        assert!((one.angle_rad() - 0.1).abs() < 1e-12);
        assert!((one.then(one.back()).sin).abs() < 1e-15);
    }

    #[test]
    fn a_quarter_turn_takes_right_to_down() {
        let quarter = Turn::along(0.0, 2.0);
        assert_eq!(quarter.of((3.0, 0.0)), (0.0, 3.0));
    }
}
