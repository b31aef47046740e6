//! A place in the picture.

/// A place in the picture: x to the right, y down, pixel centres at integers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pixel {
    /// To the right.
    pub x_px: f64,
    /// Down.
    pub y_px: f64,
}

impl Pixel {
    /// This place moved by so much.
    #[must_use]
    pub fn moved(self, dx_px: f64, dy_px: f64) -> Self {
        Self { x_px: self.x_px + dx_px, y_px: self.y_px + dy_px }
    }

    /// `(self.x - other.x, self.y - other.y)`.
    #[must_use]
    pub fn from(self, other: Self) -> (f64, f64) {
        (self.x_px - other.x_px, self.y_px - other.y_px)
    }

    /// The straight distance to another place.
    #[must_use]
    pub fn distance_px(self, other: Self) -> f64 {
        let (dx, dy) = self.from(other);
        (dx * dx + dy * dy).sqrt()
    }
}
