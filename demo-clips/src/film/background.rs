//! The background: one finished picture, or a panorama of which a moving camera sees a part.

use crate::body::Point;
use crate::picture::{Camera, Canvas, Colour, HEIGHT, WIDTH, Window};

/// The scene without the runner.
#[derive(Clone, Debug)]
pub enum Background {
    /// For a camera that does not move.
    Still(Canvas),
    /// For a camera that moves.
    Panorama(Panorama),
}

impl Background {
    /// Paints the scene into a window of a picture.
    pub fn paint(&self, canvas: &mut Canvas, camera: &Camera, window: Window) {
        match self {
            Background::Still(picture) => canvas.copy(picture, window),
            Background::Panorama(panorama) => {
                canvas.paint(window, |x, y| Some((1.0, panorama.colour(camera.to_m(x, y)))));
            }
        }
    }
}

/// A wide picture parallel to the plane of motion.
#[derive(Clone, Debug)]
pub struct Panorama {
    px_per_m: f64,
    /// Position of its first pixel.
    corner: Point,
    width: usize,
    height: usize,
    pixels: Vec<[u8; 3]>,
}

/// Pixels of the panorama in one of the frame. Chosen: 1.5, so that interpolation blurs little.
const OVERSAMPLING: f64 = 1.5;

impl Panorama {
    /// The panorama of all that some cameras see.
    #[must_use]
    pub fn seen_by(cameras: &[Camera], colour: impl Fn(Point) -> Colour) -> Self {
        let (right, bottom) = (WIDTH as f64, HEIGHT as f64);
        let corners = [(0.0, 0.0), (right, 0.0), (0.0, bottom), (right, bottom)];
        let seen = || cameras.iter().flat_map(|c| corners.map(|(x, y)| c.to_m(x, y)));
        // Chosen: 20 mm beyond the edge, for interpolation and for the camera's motion in one exposure.
        let margin_m = 0.02;
        let corner = Point::new(
            seen().map(|p| p.x_m).fold(f64::MAX, f64::min) - margin_m,
            seen().map(|p| p.y_m).fold(f64::MIN, f64::max) + margin_m,
        );
        let width_m = seen().map(|p| p.x_m).fold(f64::MIN, f64::max) + margin_m - corner.x_m;
        let height_m = corner.y_m - seen().map(|p| p.y_m).fold(f64::MAX, f64::min) + margin_m;
        let px_per_m = OVERSAMPLING * cameras.iter().map(|c| c.px_per_m).fold(1.0, f64::max);
        let (width, height) =
            ((width_m * px_per_m) as usize + 2, (height_m * px_per_m) as usize + 2);
        let pixel = |index: usize| {
            let (x, y) = ((index % width) as f64, (index / width) as f64);
            let place = Point::new(corner.x_m + x / px_per_m, corner.y_m - y / px_per_m);
            colour(place).map(|c| (c + 0.5).clamp(0.0, 255.0) as u8)
        };
        let pixels = (0..width * height).map(pixel).collect();
        Self { px_per_m, corner, width, height, pixels }
    }

    /// The colour at a point by bilinear interpolation; beyond the edge, that of the nearest pixel.
    #[must_use]
    pub fn colour(&self, place: Point) -> Colour {
        let clamp = |v: f64, end: usize| v.clamp(0.0, end as f64 - 1.001);
        let x = clamp((place.x_m - self.corner.x_m) * self.px_per_m, self.width);
        let y = clamp((self.corner.y_m - place.y_m) * self.px_per_m, self.height);
        let (u, v) = (x.fract() as f32, y.fract() as f32);
        let start = y as usize * self.width + x as usize;
        let at = |offset: usize, part: usize| {
            self.pixels.get(start + offset).map_or(0.0, |pixel| f32::from(pixel[part]))
        };
        [0, 1, 2].map(|part| {
            let top = at(0, part) + u * (at(1, part) - at(0, part));
            let (left, right) = (at(self.width, part), at(self.width + 1, part));
            top + v * (left + u * (right - left) - top)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panorama_returns_the_painted_colour_wherever_a_camera_points() {
        let first = Camera::rolled(0.02);
        let last = Camera { origin_px: (100.0, 640.0), ..first };
        // Linear in the point, so that interpolation is exact but for rounding to whole levels.
        let paint = |p: Point| [100.0 + 20.0 * p.x_m as f32, 90.0 + 30.0 * p.y_m as f32, 7.0];
        let panorama = Panorama::seen_by(&[first, last], paint);
        for camera in [first, last] {
            for (x, y) in [(0.0, 0.0), (1279.0, 0.0), (640.3, 360.8), (0.0, 719.0), (1279.0, 719.0)]
            {
                let place = camera.to_m(x, y);
                for (seen, painted) in panorama.colour(place).iter().zip(paint(place)) {
                    assert!((seen - painted).abs() <= 0.51, "{seen} {painted}");
                }
            }
        }
    }
}
