//! A picture with floating-point colours, on which shapes are painted with antialiased edges.

use super::camera::{Camera, HEIGHT, WIDTH};
use crate::body::Point;

/// Red, green and blue from 0 to 255.
pub type Colour = [f32; 3];

/// A picture in memory, row by row.
#[derive(Clone, Debug)]
pub struct Canvas {
    pixels: Vec<Colour>,
}

/// A rectangle of pixels: the first and the one-past-last column and row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the four bounds are explained above")]
pub struct Window {
    pub left: usize,
    pub right: usize,
    pub top: usize,
    pub bottom: usize,
}

impl Window {
    /// The whole picture. Exact.
    pub const ALL: Window = Window { left: 0, right: WIDTH, top: 0, bottom: HEIGHT };

    /// The pixels within a margin around some pixels, cut to the picture.
    #[must_use]
    pub fn around(points_px: &[(f64, f64)], margin_px: f64) -> Self {
        let (mut x0, mut x1, mut y0, mut y1) = (f64::MAX, f64::MIN, f64::MAX, f64::MIN);
        for &(x, y) in points_px {
            (x0, x1, y0, y1) = (x0.min(x), x1.max(x), y0.min(y), y1.max(y));
        }
        let clamp = |at: f64, end: usize| at.clamp(0.0, end as f64) as usize;
        Self {
            left: clamp((x0 - margin_px).floor(), WIDTH),
            right: clamp((x1 + margin_px).ceil() + 1.0, WIDTH),
            top: clamp((y0 - margin_px).floor(), HEIGHT),
            bottom: clamp((y1 + margin_px).ceil() + 1.0, HEIGHT),
        }
    }
}

impl Canvas {
    /// A black picture.
    #[must_use]
    pub fn black() -> Self {
        Self { pixels: vec![[0.0; 3]; WIDTH * HEIGHT] }
    }

    /// Copies a window of another picture.
    pub fn copy(&mut self, from: &Canvas, window: Window) {
        for row in window.top..window.bottom {
            let span = row * WIDTH + window.left..row * WIDTH + window.right;
            if let (Some(to), Some(from)) =
                (self.pixels.get_mut(span.clone()), from.pixels.get(span))
            {
                to.copy_from_slice(from);
            }
        }
    }

    /// A picture of a scene; each pixel is the mean of four points in it.
    #[must_use]
    pub fn scene(camera: &Camera, colour: impl Fn(Point) -> Colour) -> Self {
        let mut pixels = Vec::with_capacity(WIDTH * HEIGHT);
        for row in 0..HEIGHT {
            for column in 0..WIDTH {
                let mut sum = [0.0_f32; 3];
                for (dx, dy) in [(-0.25, -0.25), (0.25, -0.25), (-0.25, 0.25), (0.25, 0.25)] {
                    let point = camera.to_m(column as f64 + dx, row as f64 + dy);
                    for (total, part) in sum.iter_mut().zip(colour(point)) {
                        *total += 0.25 * part;
                    }
                }
                pixels.push(sum);
            }
        }
        Self { pixels }
    }

    /// All pixels, row by row.
    #[must_use]
    pub fn pixels(&self) -> &[Colour] {
        &self.pixels
    }

    /// All pixels, mutable.
    pub fn pixels_mut(&mut self) -> &mut [Colour] {
        &mut self.pixels
    }

    /// Paints within a window: `shape` returns the coverage of a pixel, from 0 to 1, and its colour.
    pub fn paint(&mut self, window: Window, shape: impl Fn(f64, f64) -> Option<(f32, Colour)>) {
        for row in window.top..window.bottom {
            let start = row * WIDTH;
            for column in window.left..window.right {
                let Some((coverage, colour)) = shape(column as f64, row as f64) else { continue };
                if let Some(pixel) = self.pixels.get_mut(start + column) {
                    for (old, new) in pixel.iter_mut().zip(colour) {
                        *old += coverage * (new - *old);
                    }
                }
            }
        }
    }
}
