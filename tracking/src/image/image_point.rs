//! A place in the picture.

/// A place in the picture: x to the right, y down, pixel centres at integers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ImagePoint {
    /// To the right.
    pub x_px: f64,
    /// Down.
    pub y_px: f64,
}

impl ImagePoint {
    /// This place moved by a vector.
    #[must_use]
    pub fn moved(self, dx_px: f64, dy_px: f64) -> Self {
        Self { x_px: self.x_px + dx_px, y_px: self.y_px + dy_px }
    }

    /// The vector from another place to this one: `(self.x - other.x, self.y - other.y)`.
    #[must_use]
    pub fn minus(self, other: Self) -> (f64, f64) {
        (self.x_px - other.x_px, self.y_px - other.y_px)
    }

    /// The straight distance to another place.
    #[must_use]
    pub fn distance_px(self, other: Self) -> f64 {
        let (dx, dy) = self.minus(other);
        (dx * dx + dy * dy).sqrt()
    }

    /// Whether both coordinates are numbers.
    #[must_use]
    pub(crate) fn is_finite(self) -> bool {
        self.x_px.is_finite() && self.y_px.is_finite()
    }
}
