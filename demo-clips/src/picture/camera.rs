//! The camera: square to the plane of motion, far away, perhaps rolled a little.

use crate::body::Point;

/// Width of the picture in pixels.
pub const WIDTH: usize = 1280;
/// Height of the picture in pixels.
pub const HEIGHT: usize = 720;

/// Where a place in the plane of motion falls in the picture. Pixel centres are whole numbers, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// Pixels per metre.
    pub px_per_m: f64,
    /// Where the origin (belt surface under the runner) would be without roll.
    pub origin_px: (f64, f64),
    /// Turn of the scene in the picture about its middle, clockwise as seen.
    pub roll_rad: f64,
}

impl Camera {
    /// Chosen: 312 pixels per metre, so that the runner fills most of the height.
    #[must_use]
    pub const fn rolled(roll_rad: f64) -> Self {
        Self { px_per_m: 312.0, origin_px: (652.0, 652.0), roll_rad }
    }

    /// The middle of the picture.
    pub const MIDDLE_PX: (f64, f64) = (0.5 * (WIDTH as f64 - 1.0), 0.5 * (HEIGHT as f64 - 1.0));

    /// The camera for things that were carried forward by so much.
    #[must_use]
    pub fn carrying(&self, ahead_m: f64) -> Self {
        let (x, y) = self.origin_px;
        Self { origin_px: (x + self.px_per_m * ahead_m, y), ..*self }
    }

    /// The pixel of a place.
    #[must_use]
    pub fn to_px(&self, place: Point) -> (f64, f64) {
        let x = self.origin_px.0 + self.px_per_m * place.x_m - Self::MIDDLE_PX.0;
        let y = self.origin_px.1 - self.px_per_m * place.y_m - Self::MIDDLE_PX.1;
        let (sine, cosine) = self.roll_rad.sin_cos();
        (Self::MIDDLE_PX.0 + x * cosine - y * sine, Self::MIDDLE_PX.1 + x * sine + y * cosine)
    }

    /// The place of a pixel.
    #[must_use]
    pub fn to_m(&self, x_px: f64, y_px: f64) -> Point {
        let (u, v) = (x_px - Self::MIDDLE_PX.0, y_px - Self::MIDDLE_PX.1);
        let (sine, cosine) = self.roll_rad.sin_cos();
        let x = u * cosine + v * sine + Self::MIDDLE_PX.0;
        let y = -u * sine + v * cosine + Self::MIDDLE_PX.1;
        Point::new((x - self.origin_px.0) / self.px_per_m, (self.origin_px.1 - y) / self.px_per_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pixel_goes_back_to_its_place() {
        let camera = Camera::rolled(0.0105);
        let (x, y) = camera.to_px(Point::new(-0.7, 1.3));
        assert!(camera.to_m(x, y).distance_m(Point::new(-0.7, 1.3)) < 1e-12);
    }

    #[test]
    fn a_metre_is_as_many_pixels_in_every_direction() {
        let camera = Camera::rolled(0.0105);
        let from = camera.to_px(Point::new(0.2, 0.1));
        for to in [Point::new(1.2, 0.1), Point::new(0.2, 1.1)] {
            let to = camera.to_px(to);
            assert!(((to.0 - from.0).hypot(to.1 - from.1) - 312.0).abs() < 1e-9);
        }
    }
}
