//! Clips of one marker that moves over a still ground, drawn with a general image library.

use crate::common::{FINE, Grey, View, bytes, frame, pixel, softened, texture};
use image::{GrayImage, Luma, imageops};
use imageproc::drawing::{draw_filled_circle_mut, draw_filled_rect_mut};
use imageproc::rect::Rect;
use std::sync::OnceLock;
use tracking::image::ImagePoint;
use tracking::track::{MarkerStart, Mode, Sample, Tracker};

pub const SIZE_PX: (u32, u32) = (240, 120);
/// Side of the picture of the marker alone, its middle at `MIDDLE_PX`.
const PATCH_PX: u32 = 64;
const MIDDLE_PX: u32 = 32;

// Drawn once: smoothing takes longer than following.
static GROUND: OnceLock<Grey> = OnceLock::new();
static STICKER: OnceLock<Marker> = OnceLock::new();
static CLOTH: OnceLock<Marker> = OnceLock::new();

/// A clip and where its marker is in each frame.
#[derive(Clone)]
pub struct Clip {
    pub frames: Vec<GrayImage>,
    pub truth: Vec<ImagePoint>,
    pub mode: Mode,
}

/// A marker alone: its grey levels and its opacity, as the points of a scene.
struct Marker {
    values: Grey,
    cover: Grey,
}

impl Marker {
    /// A round piece of cloth of 22 px radius, or a light disc with a dark middle of 5.5 px.
    fn of(mode: Mode) -> Self {
        let fine = FINE as i32;
        let middle = ((MIDDLE_PX * FINE) as i32, (MIDDLE_PX * FINE) as i32);
        let mut values = texture((PATCH_PX, PATCH_PX), 1.8, (150.0, 30.0), 81);
        let mut cover = Grey::new(values.width(), values.height());
        let radius = match mode {
            Mode::Skin => 22 * fine,
            Mode::Sticker => {
                draw_filled_circle_mut(&mut values, middle, 8 * fine, Luma([225.0]));
                draw_filled_circle_mut(&mut values, middle, 2 * fine, Luma([40.0]));
                22
            }
        };
        draw_filled_circle_mut(&mut cover, middle, radius, Luma([1.0]));
        Self { values: softened(&values, 0.5), cover: softened(&cover, 0.5) }
    }

    /// Lays the marker over a picture with its middle at a place.
    fn over(&self, picture: &mut Grey, at: ImagePoint) {
        let (left, top) = (at.x_px.floor(), at.y_px.floor());
        let view = View::moved(at.x_px - left, at.y_px - top);
        let size = (PATCH_PX, PATCH_PX);
        let (values, cover) = (view.of(&self.values, size), view.of(&self.cover, size));
        for (x, y, Luma([value])) in values.enumerate_pixels() {
            let (u, v) = (f64::from(x) + left, f64::from(y) + top);
            let (u, v) = (u - f64::from(MIDDLE_PX), v - f64::from(MIDDLE_PX));
            if u >= 0.0 && v >= 0.0 && u < f64::from(SIZE_PX.0) && v < f64::from(SIZE_PX.1) {
                let Luma([share]) = *cover.get_pixel(x, y);
                let Luma([under]) = picture.get_pixel_mut(u as u32, v as u32);
                *under += share * (value - *under);
            }
        }
    }
}

impl Clip {
    /// A marker that moves along a path, over a ground of weaker texture.
    pub fn along(mode: Mode, truth: Vec<ImagePoint>) -> Self {
        let ground = GROUND.get_or_init(|| {
            let ground = texture(SIZE_PX, 2.5, (100.0, 15.0), 82);
            View::moved(0.0, 0.0).of(&ground, SIZE_PX)
        });
        let marker = match mode {
            Mode::Sticker => STICKER.get_or_init(|| Marker::of(mode)),
            Mode::Skin => CLOTH.get_or_init(|| Marker::of(mode)),
        };
        let draw = |at: &ImagePoint| {
            let mut picture = ground.clone();
            marker.over(&mut picture, *at);
            bytes(&picture)
        };
        Self { frames: truth.iter().map(draw).collect(), truth, mode }
    }

    /// A marker that swings as it moves, by fractions of a pixel and up to five pixels a frame.
    pub fn swinging(mode: Mode) -> Self {
        let at = |k: usize| {
            let t = k as f64;
            pixel(45.0 + 2.83 * t + 6.0 * (0.35 * t).sin(), 60.0 + 12.0 * (0.22 * t).sin())
        };
        Self::along(mode, (0..30).map(at).collect())
    }

    /// Covers the marker with a bar of one grey from top to bottom, in these frames.
    pub fn behind_a_bar(mut self, hidden: std::ops::Range<usize>) -> Self {
        let frames = self.frames.iter_mut().zip(&self.truth).enumerate();
        for (_, (picture, at)) in frames.filter(|(k, _)| hidden.contains(k)) {
            let bar = Rect::at(at.x_px as i32 - 26, 0).of_size(52, SIZE_PX.1);
            draw_filled_rect_mut(picture, bar, Luma([120]));
        }
        self
    }

    /// Every picture changed.
    pub fn with(mut self, change: impl Fn(&GrayImage) -> GrayImage) -> Self {
        self.frames.iter_mut().for_each(|picture| *picture = change(picture));
        self
    }

    /// The pictures of clips of one length, one above the other.
    pub fn stacked(clips: &[&Self]) -> Vec<GrayImage> {
        let height = SIZE_PX.1 * clips.len() as u32;
        let picture = |k: usize| {
            let bytes = clips.iter().flat_map(|c| c.frames[k].iter().copied()).collect();
            GrayImage::from_raw(SIZE_PX.0, height, bytes).unwrap()
        };
        (0..clips[0].frames.len()).map(picture).collect()
    }

    /// The mirrored clip.
    pub fn mirrored(self) -> Self {
        let mut clip = self.with(imageops::flip_horizontal);
        for at in &mut clip.truth {
            at.x_px = f64::from(SIZE_PX.0) - 1.0 - at.x_px;
        }
        clip
    }

    /// The reversed clip.
    pub fn backwards(mut self) -> Self {
        self.frames.reverse();
        self.truth.reverse();
        self
    }

    /// The marker followed from where it truly is in the first frame; a sample for each frame after it.
    pub fn follow(&self) -> Vec<Sample> {
        self.follow_from(self.truth[0])
    }

    /// The marker followed from a place in the first frame.
    pub fn follow_from(&self, at: ImagePoint) -> Vec<Sample> {
        let start = MarkerStart { at, mode: self.mode };
        let mut tracker = Tracker::new(frame(&self.frames[0]), &[start], &[]).unwrap();
        let rest = self.frames.iter().skip(1);
        rest.map(|picture| tracker.step(frame(picture)).unwrap()[0]).collect()
    }

    /// How far off each sample is.
    pub fn misses(&self, samples: &[Sample]) -> Vec<f64> {
        assert_eq!(samples.len() + 1, self.frames.len());
        samples.iter().zip(&self.truth[1..]).map(|(s, t)| s.at.distance_px(*t)).collect()
    }
}
