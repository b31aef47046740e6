//! One surface of the runner: shape, position, material, and how it is painted.

use super::camera::Camera;
use super::canvas::{Canvas, Window};
use super::cloth::{Cloth, Sticker, Wardrobe};
use super::outline::{Girth, Outline};
use crate::body::Point;

/// One surface of the runner.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// Origin of its frame.
    pub origin: Point,
    /// Rotation of its x axis from forward, counter-clockwise.
    pub turn_rad: f64,
    /// Its shape.
    pub outline: Outline,
    /// Its material.
    pub cloth: Cloth,
    /// Factor of its brightness.
    pub shade_ratio: f64,
}

impl Layer {
    /// A limb from one joint to another; its front is to the left of its direction.
    #[must_use]
    pub fn limb(from: Point, to: Point, girths: &'static [Girth], cloth: Cloth) -> Self {
        let turn_rad = (to.y_m - from.y_m).atan2(to.x_m - from.x_m);
        let outline = Outline::Limb { length_m: from.distance_m(to), girths };
        Self { origin: from, turn_rad, outline, cloth, shade_ratio: 1.0 }
    }

    /// A point in the layer's own frame.
    fn local(&self, point: Point) -> Point {
        let off = Point::new(point.x_m - self.origin.x_m, point.y_m - self.origin.y_m);
        Point::default().offset(off, -self.turn_rad)
    }

    /// Whether this layer covers a point.
    #[must_use]
    pub fn covers(&self, point: Point) -> bool {
        self.outline.distance(self.local(point)).0 < 0.0
    }

    /// Paints it as a camera sees it.
    pub fn paint(&self, canvas: &mut Canvas, camera: &Camera, wardrobe: &Wardrobe) {
        let middle = camera.to_px(self.origin);
        let window = Window::around(&self.corners_px(camera, middle), 2.0);
        // Local coordinates are linear in the pixel: an origin and two steps.
        let at = |x: f64, y: f64| self.local(camera.to_m(x, y));
        let zero = at(0.0, 0.0);
        let (right, down) = (at(1.0, 0.0), at(0.0, 1.0));
        let (rx, ry) = (right.x_m - zero.x_m, right.y_m - zero.y_m);
        let (dx, dy) = (down.x_m - zero.x_m, down.y_m - zero.y_m);
        canvas.paint(window, |x, y| {
            let p = Point::new(zero.x_m + x * rx + y * dx, zero.y_m + x * ry + y * dy);
            let (distance_m, across) = self.outline.distance(p);
            let distance_px = distance_m * camera.px_per_m;
            if distance_px > 0.5 {
                return None;
            }
            let coverage = (0.5 - distance_px).min(1.0) as f32;
            // A darker seam along the edge separates limbs of one colour.
            let seam = if distance_px > -1.6 { 0.80 } else { 1.0 };
            let shade = (self.shade_ratio * seam) as f32;
            let colour = wardrobe.colour(self.cloth, p, across.clamp(-1.0, 1.0));
            Some((coverage, colour.map(|c| c * shade)))
        });
    }

    fn corners_px(&self, camera: &Camera, middle: (f64, f64)) -> Vec<(f64, f64)> {
        if let Outline::Limb { length_m, girths } = &self.outline {
            let widest = girths.iter().map(|g| g.front_m.max(g.back_m)).fold(0.0, f64::max);
            let end = self.origin.offset(Point::new(*length_m, 0.0), self.turn_rad);
            let reach = widest * camera.px_per_m;
            let end = camera.to_px(end);
            return [middle, end]
                .iter()
                .flat_map(|p| [(p.0 - reach, p.1 - reach), (p.0 + reach, p.1 + reach)])
                .collect();
        }
        let reach = self.outline.extent_m() * camera.px_per_m;
        vec![(middle.0 - reach, middle.1 - reach), (middle.0 + reach, middle.1 + reach)]
    }
}

/// Paints a sticker around a pixel.
pub fn paint_sticker(canvas: &mut Canvas, sticker: &Sticker, centre_px: (f64, f64)) {
    canvas.paint(Window::around(&[centre_px], sticker.outer_px + 0.5), |x, y| {
        let radius_px = (x - centre_px.0).hypot(y - centre_px.1);
        let coverage = (sticker.outer_px - radius_px).clamp(0.0, 1.0) as f32;
        if coverage <= 0.0 {
            return None;
        }
        let core = (sticker.core_px - radius_px).clamp(0.0, 1.0) as f32;
        Some((
            coverage,
            [0, 1, 2].map(|i| sticker.rim[i] + core * (sticker.core[i] - sticker.rim[i])),
        ))
    });
}
