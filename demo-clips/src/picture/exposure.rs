//! One exposure: the mean of a few instants while the shutter is open, and the noise of the sensor.

use super::camera::{Camera, WIDTH};
use super::canvas::{Canvas, Window};
use super::figure::Figure;
use super::hall;
use crate::motion::Motion;
use crate::noise;
use crate::picture::Wardrobe;

/// All that stays the same from frame to frame.
#[derive(Clone, Debug)]
pub struct Exposure<'a> {
    /// The motion to be seen.
    pub motion: &'a Motion,
    /// The empty hall.
    pub hall: &'a Canvas,
    /// The camera.
    pub camera: Camera,
    /// Clothes and textures.
    pub wardrobe: Wardrobe,
    /// Whether the near landmarks carry stickers.
    pub stickers: bool,
}

/// Chosen: how long the shutter is open.
pub const SHUTTER_S: f64 = 1.0 / 500.0;
/// Chosen: instants that make one exposure.
const INSTANTS: usize = 5;
/// Chosen: standard deviation of the sensor's noise in brightness and in each colour, of 255.
const NOISE: (f32, f32) = (1.9, 0.7);

impl Exposure<'_> {
    /// The picture of which this time is the middle, as rows of red, green and blue bytes.
    #[must_use]
    pub fn frame(&self, middle_s: f64, number: u64) -> Vec<u8> {
        let mut window: Option<Window> = None;
        let mut sum = self.hall.clone();
        let mut instants = Vec::new();
        for i in 0..INSTANTS {
            let late = (i as f64 + 0.5) / INSTANTS as f64 - 0.5;
            let time_s = middle_s + late * SHUTTER_S;
            let figure = Figure::at(self.motion, time_s);
            let seen = figure.window(&self.camera);
            window = Some(window.map_or(seen, |w| union(w, seen)));
            instants.push((time_s, figure));
        }
        let belt = hall::belt_window(&self.camera);
        let window = window.map_or(belt, |w| union(w, belt));
        let mut canvas = self.hall.clone();
        for (i, (time_s, figure)) in instants.iter().enumerate() {
            if i > 0 {
                copy(self.hall, &mut canvas, window);
            }
            let moved_m = self.motion.style().speed_m_s * time_s;
            hall::belt(&mut canvas, &self.camera, moved_m, self.wardrobe.seed);
            figure.paint(&mut canvas, &self.camera, &self.wardrobe, self.stickers);
            add(&canvas, &mut sum, window, i);
        }
        self.read_out(&sum, number)
    }

    fn read_out(&self, canvas: &Canvas, number: u64) -> Vec<u8> {
        let mut bytes = Vec::with_capacity(3 * canvas.pixels().len());
        let mut seed = noise::bits(self.wardrobe.seed ^ 0x5E45, number as i64, 0);
        for pixel in canvas.pixels() {
            // Four numbers of 16 bits from one word; the sum of two even ones is a triangle.
            seed = noise::bits(seed, 1, 1);
            let part = |shift: u32| ((seed >> shift) & 0xFFFF) as f32 / 65535.0 - 0.5;
            let bright = NOISE.0 * 2.45 * (part(0) + part(16));
            let tint = [part(32), part(48), -part(32)].map(|c| NOISE.1 * 3.4 * c);
            for (value, tint) in pixel.iter().zip(tint) {
                bytes.push((value + bright + tint + 0.5).clamp(0.0, 255.0) as u8);
            }
        }
        bytes
    }
}

fn union(a: Window, b: Window) -> Window {
    Window {
        left: a.left.min(b.left),
        right: a.right.max(b.right),
        top: a.top.min(b.top),
        bottom: a.bottom.max(b.bottom),
    }
}

fn copy(from: &Canvas, to: &mut Canvas, window: Window) {
    for row in window.top..window.bottom {
        let span = row * WIDTH + window.left..row * WIDTH + window.right;
        if let (Some(to), Some(from)) =
            (to.pixels_mut().get_mut(span.clone()), from.pixels().get(span))
        {
            to.copy_from_slice(from);
        }
    }
}

/// Makes `sum` the mean of the instants so far, inside the window.
fn add(canvas: &Canvas, sum: &mut Canvas, window: Window, before: usize) {
    let share = 1.0 / (before as f32 + 1.0);
    for row in window.top..window.bottom {
        let span = row * WIDTH + window.left..row * WIDTH + window.right;
        let Some(pixels) = canvas.pixels().get(span.clone()) else { continue };
        for (mean, new) in sum.pixels_mut().iter_mut().skip(span.start).zip(pixels) {
            for (mean, new) in mean.iter_mut().zip(new) {
                *mean += share * (new - *mean);
            }
        }
    }
}
