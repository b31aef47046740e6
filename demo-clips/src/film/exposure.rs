//! One exposure: the mean of a few instants while the shutter is open, plus the noise of the sensor.

use super::background::Background;
use super::light::Light;
use super::path::CameraPath;
use crate::motion::{Course, Motion};
use crate::noise;
use crate::picture::{Canvas, Figure, WIDTH, Wardrobe, Window, hall};

/// What is the same in every frame.
#[derive(Clone, Debug)]
pub struct Exposure<'a> {
    /// The motion of the runner.
    pub motion: &'a Motion,
    /// The course of the runner.
    pub course: Course,
    /// The background.
    pub background: &'a Background,
    /// The camera.
    pub path: &'a CameraPath,
    /// Clothes and textures.
    pub wardrobe: Wardrobe,
    /// Whether the near landmarks carry stickers.
    pub stickers: bool,
    /// Exposure time.
    pub shutter_s: f64,
    /// The light and the sensor.
    pub light: Light,
}

/// Exposure time of the committed clips. Chosen: 1/500 s, in which a foot blurs over 6 pixels.
pub const SHUTTER_S: f64 = 1.0 / 500.0;
/// The fewest instants of one exposure. Chosen: 5, enough for [`SHUTTER_S`].
const MIN_INSTANTS: usize = 5;
/// Interval of the instants of a longer exposure. Chosen: 1 ms, in which a foot moves by 3 pixels.
const INSTANT_S: f64 = 0.001;
/// Standard deviation of the sensor's noise in brightness, of 255. Chosen: by eye.
const LUMA_NOISE: f32 = 1.9;
/// Standard deviation of the sensor's noise in each colour, of 255. Chosen: a third of that in brightness.
const CHROMA_NOISE: f32 = 0.7;

impl Exposure<'_> {
    /// The frame whose exposure has its middle at a time, as rows of red, green and blue bytes.
    #[must_use]
    pub fn frame(&self, middle_s: f64, number: u64) -> Vec<u8> {
        let count = MIN_INSTANTS.max((self.shutter_s / INSTANT_S) as usize);
        let mut instants = Vec::new();
        for i in 0..count {
            let delay = (i as f64 + 0.5) / count as f64 - 0.5;
            let time_s = middle_s + delay * self.shutter_s;
            instants.push((time_s, Figure::at(self.motion, time_s)));
        }
        let window = self.window(&instants);
        let mut sum = match self.background {
            Background::Still(hall) => hall.clone(),
            Background::Panorama(_) => Canvas::black(),
        };
        let mut canvas = sum.clone();
        for (i, (time_s, figure)) in instants.iter().enumerate() {
            let camera = self.path.at(*time_s);
            self.background.paint(&mut canvas, &camera, window);
            let covered_m = self.motion.style().speed_m_s * time_s;
            if self.course == Course::Belt {
                hall::belt(&mut canvas, &camera, covered_m, self.wardrobe.seed);
            }
            let following = camera.following(self.course.ahead_m(covered_m));
            figure.paint(&mut canvas, &following, &self.wardrobe, self.stickers);
            add(&canvas, &mut sum, window, i);
        }
        self.read_sensor(&sum, number)
    }

    /// The pixels that change from instant to instant.
    fn window(&self, instants: &[(f64, Figure)]) -> Window {
        if !self.path.is_still() {
            return Window::ALL;
        }
        let seen = instants.iter().map(|(time_s, figure)| {
            let ahead_m = self.course.ahead_m(self.motion.style().speed_m_s * time_s);
            figure.window(&self.path.at(*time_s).following(ahead_m))
        });
        let seen = seen.reduce(union);
        let belt = hall::belt_window(&self.path.at(0.0));
        seen.map_or(belt, |w| union(w, belt))
    }

    fn read_sensor(&self, canvas: &Canvas, number: u64) -> Vec<u8> {
        let mut bytes = Vec::with_capacity(3 * canvas.pixels().len());
        let mut seed = noise::bits(self.wardrobe.seed ^ 0x5E45, number as i64, 0);
        let noise_ratio = self.light.noise_ratio as f32;
        let columns = self.light.columns();
        for (pixel, light) in canvas.pixels().iter().zip(columns.iter().cycle()) {
            // Four uniform numbers of 16 bits from one word; the sum of two has a triangular distribution.
            seed = noise::bits(seed, 1, 1);
            let part = |shift: u32| ((seed >> shift) & 0xFFFF) as f32 / 65535.0 - 0.5;
            let luma = noise_ratio * (LUMA_NOISE * 2.45 * (part(0) + part(16)));
            let chroma =
                [part(32), part(48), -part(32)].map(|c| noise_ratio * (CHROMA_NOISE * 3.4 * c));
            for (value, chroma) in pixel.iter().zip(chroma) {
                bytes.push((value * light + luma + chroma + 0.5).clamp(0.0, 255.0) as u8);
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

/// Makes `sum` the mean of all instants so far within the window.
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
