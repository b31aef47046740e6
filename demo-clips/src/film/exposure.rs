//! One exposure: the mean of a few instants while the shutter is open, and the noise of the sensor.

use super::{Backdrop, CameraPath, Light};
use crate::motion::{Course, Motion};
use crate::noise;
use crate::picture::{Canvas, Figure, WIDTH, Wardrobe, Window, hall};

/// All that stays the same from frame to frame.
#[derive(Clone, Debug)]
pub struct Exposure<'a> {
    /// The motion to be seen.
    pub motion: &'a Motion,
    /// Where the runner runs.
    pub course: Course,
    /// What stands behind.
    pub backdrop: &'a Backdrop,
    /// The camera.
    pub path: &'a CameraPath,
    /// Clothes and textures.
    pub wardrobe: Wardrobe,
    /// Whether the near landmarks carry stickers.
    pub stickers: bool,
    /// How long the shutter is open.
    pub shutter_s: f64,
    /// The light and the sensor.
    pub light: Light,
}

/// Chosen: how long the shutter of the committed clips is open.
pub const SHUTTER_S: f64 = 1.0 / 500.0;
/// Chosen: the fewest instants that make one exposure, enough for [`SHUTTER_S`].
const INSTANTS: usize = 5;
/// Chosen: one instant each millisecond of a longer exposure, in which a foot goes by 3 pixels.
const INSTANT_S: f64 = 0.001;
/// Chosen: standard deviation of the sensor's noise in brightness and in each colour, of 255.
const NOISE: (f32, f32) = (1.9, 0.7);

impl Exposure<'_> {
    /// The picture of which this time is the middle, as rows of red, green and blue bytes.
    #[must_use]
    pub fn frame(&self, middle_s: f64, number: u64) -> Vec<u8> {
        let count = INSTANTS.max((self.shutter_s / INSTANT_S) as usize);
        let mut instants = Vec::new();
        for i in 0..count {
            let late = (i as f64 + 0.5) / count as f64 - 0.5;
            let time_s = middle_s + late * self.shutter_s;
            instants.push((time_s, Figure::at(self.motion, time_s)));
        }
        let window = self.window(&instants);
        let mut sum = match self.backdrop {
            Backdrop::Still(hall) => hall.clone(),
            Backdrop::Wide(_) => Canvas::black(),
        };
        let mut canvas = sum.clone();
        for (i, (time_s, figure)) in instants.iter().enumerate() {
            let camera = self.path.at(*time_s);
            self.backdrop.lay(&mut canvas, &camera, window);
            let moved_m = self.motion.style().speed_m_s * time_s;
            if self.course == Course::Belt {
                hall::belt(&mut canvas, &camera, moved_m, self.wardrobe.seed);
            }
            let carried = camera.carrying(self.course.ahead_m(moved_m));
            figure.paint(&mut canvas, &carried, &self.wardrobe, self.stickers);
            add(&canvas, &mut sum, window, i);
        }
        self.read_out(&sum, number)
    }

    /// The pixels that change from instant to instant.
    fn window(&self, instants: &[(f64, Figure)]) -> Window {
        if !self.path.is_still() {
            return Window::ALL;
        }
        let seen = instants.iter().map(|(time_s, figure)| {
            let ahead_m = self.course.ahead_m(self.motion.style().speed_m_s * time_s);
            figure.window(&self.path.at(*time_s).carrying(ahead_m))
        });
        let seen = seen.reduce(union);
        let belt = hall::belt_window(&self.path.at(0.0));
        seen.map_or(belt, |w| union(w, belt))
    }

    fn read_out(&self, canvas: &Canvas, number: u64) -> Vec<u8> {
        let mut bytes = Vec::with_capacity(3 * canvas.pixels().len());
        let mut seed = noise::bits(self.wardrobe.seed ^ 0x5E45, number as i64, 0);
        let noise_ratio = self.light.noise_ratio as f32;
        let columns = self.light.columns();
        for (pixel, light) in canvas.pixels().iter().zip(columns.iter().cycle()) {
            // Four numbers of 16 bits from one word; the sum of two even ones is a triangle.
            seed = noise::bits(seed, 1, 1);
            let part = |shift: u32| ((seed >> shift) & 0xFFFF) as f32 / 65535.0 - 0.5;
            let bright = noise_ratio * (NOISE.0 * 2.45 * (part(0) + part(16)));
            let tint = [part(32), part(48), -part(32)].map(|c| noise_ratio * (NOISE.1 * 3.4 * c));
            for (value, tint) in pixel.iter().zip(tint) {
                bytes.push((value * light + bright + tint + 0.5).clamp(0.0, 255.0) as u8);
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
