//! The camera: perpendicular to the plane of motion, far away, perhaps rolled a little.

use crate::body::Point;

/// Width of the picture in pixels. Chosen: that of 720p video.
pub const WIDTH: usize = 1280;
/// Height of the picture in pixels. Chosen: that of 720p video.
pub const HEIGHT: usize = 720;

/// The projection of the plane of motion to the picture. Pixel centres are whole numbers, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// Pixels per metre.
    pub px_per_m: f64,
    /// Pixel of the origin (the belt's surface under the runner) without roll.
    pub origin_px: (f64, f64),
    /// Rotation of the scene about the middle of the picture, clockwise.
    pub roll_rad: f64,
}

impl Camera {
    /// The camera of the committed clips with a roll. Chosen: 312 pixels per metre, so that the runner fills
    /// most of the height.
    #[must_use]
    pub const fn rolled(roll_rad: f64) -> Self {
        Self { px_per_m: 312.0, origin_px: (652.0, 652.0), roll_rad }
    }

    /// The middle of the picture. Exact: half-way between the centres of the outermost pixels.
    pub const MIDDLE_PX: (f64, f64) = (0.5 * (WIDTH as f64 - 1.0), 0.5 * (HEIGHT as f64 - 1.0));

    /// The camera for things that have moved forward by a distance.
    #[must_use]
    pub fn following(&self, ahead_m: f64) -> Self {
        let (x, y) = self.origin_px;
        Self { origin_px: (x + self.px_per_m * ahead_m, y), ..*self }
    }

    /// The pixel of a point.
    #[must_use]
    pub fn to_px(&self, point: Point) -> (f64, f64) {
        let x = self.origin_px.0 + self.px_per_m * point.x_m - Self::MIDDLE_PX.0;
        let y = self.origin_px.1 - self.px_per_m * point.y_m - Self::MIDDLE_PX.1;
        let (sine, cosine) = self.roll_rad.sin_cos();
        (Self::MIDDLE_PX.0 + x * cosine - y * sine, Self::MIDDLE_PX.1 + x * sine + y * cosine)
    }

    /// The point at a pixel.
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
    fn a_pixel_maps_back_to_its_point() {
        let camera = Camera::rolled(0.0105);
        let (x, y) = camera.to_px(Point::new(-0.7, 1.3));
        assert!(camera.to_m(x, y).distance_m(Point::new(-0.7, 1.3)) < 1e-12);
    }

    #[test]
    fn a_metre_has_as_many_pixels_in_every_direction() {
        let camera = Camera::rolled(0.0105);
        let from = camera.to_px(Point::new(0.2, 0.1));
        for to in [Point::new(1.2, 0.1), Point::new(0.2, 1.1)] {
            let to = camera.to_px(to);
            assert!(((to.0 - from.0).hypot(to.1 - from.1) - 312.0).abs() < 1e-9);
        }
    }
}
