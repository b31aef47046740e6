//! Pictures drawn and warped with a general image library, so that their truth owes nothing to this crate.

#![allow(dead_code, reason = "each test file uses its part")]

use image::{GrayImage, Luma};
use imageproc::definitions::Image;
use imageproc::filter::gaussian_blur_f32;
use imageproc::geometric_transformations::{Border, Interpolation, Projection, warp_into};
use imageproc::noise::gaussian_noise;
use tracking::image::{GreyFrame, ImagePoint, Region};

/// Grey levels before they are rounded to bytes.
pub type Grey = Image<Luma<f32>>;

/// Points of a scene per pixel of a picture, each way: what the warp interpolates is then so smooth that the picture is exact
/// to a few hundredths of a grey level.
pub const FINE: u32 = 4;

/// Smoothed noise about a mean grey level, as the points of a scene.
///
/// `grain_px` is the standard deviation of the smoothing, `contrast` that of the grey levels.
pub fn texture(
    size_px: (u32, u32),
    grain_px: f32,
    (mean, contrast): (f32, f32),
    seed: u64,
) -> Grey {
    let flat = GrayImage::from_pixel(size_px.0 * FINE, size_px.1 * FINE, Luma([128]));
    let noise = gaussian_noise(&flat, 0.0, 40.0, seed);
    let noise = Grey::from_fn(noise.width(), noise.height(), |x, y| {
        Luma([f32::from(noise.get_pixel(x, y).0[0])])
    });
    let mut smooth = softened(&noise, grain_px);
    let count = smooth.as_raw().len() as f64;
    let sum: f64 = smooth.iter().map(|v| f64::from(*v)).sum();
    let middle = sum / count;
    let square: f64 = smooth.iter().map(|v| (f64::from(*v) - middle).powi(2)).sum();
    let stretch = contrast / (square / count).sqrt() as f32;
    smooth.iter_mut().for_each(|v| *v = mean + (*v - middle as f32) * stretch);
    smooth
}

/// Smoothed by a standard deviation in pixels of the picture.
///
/// In four passes: one pass of the library ends its weights at two deviations, which leaves noise finer than a pixel can show.
pub fn softened(scene: &Grey, by_px: f32) -> Grey {
    let each = 0.5 * by_px * FINE as f32;
    let pass = |picture: Grey| gaussian_blur_f32(&picture, each);
    pass(pass(pass(gaussian_blur_f32(scene, each))))
}

/// A view of a scene: rotated clockwise and scaled about a place, then moved.
#[derive(Clone, Copy, Debug)]
pub struct View {
    pub about: ImagePoint,
    pub moved_px: (f64, f64),
    pub rotation_rad: f64,
    pub scale_ratio: f64,
}

impl View {
    /// Moved only.
    pub fn moved(dx_px: f64, dy_px: f64) -> Self {
        let about = ImagePoint { x_px: 0.0, y_px: 0.0 };
        Self { about, moved_px: (dx_px, dy_px), rotation_rad: 0.0, scale_ratio: 1.0 }
    }

    /// The picture of a scene in this view.
    pub fn of(self, scene: &Grey, size_px: (u32, u32)) -> Grey {
        let (x, y) = (self.about.x_px as f32, self.about.y_px as f32);
        let (dx, dy) = (self.moved_px.0 as f32, self.moved_px.1 as f32);
        let fine = FINE as f32;
        let scale = self.scale_ratio as f32 / fine;
        let projection = Projection::translate(x + dx, y + dy)
            * Projection::rotate(self.rotation_rad as f32)
            * Projection::scale(scale, scale)
            * Projection::translate(-x * fine, -y * fine);
        let mut out = Grey::new(size_px.0, size_px.1);
        warp_into(scene, projection, Interpolation::Bicubic, Border::Replicate, &mut out);
        out
    }
}

/// Rounded to whole grey levels of eight bits.
pub fn bytes(picture: &Grey) -> GrayImage {
    GrayImage::from_fn(picture.width(), picture.height(), |x, y| {
        Luma([picture.get_pixel(x, y).0[0].round().clamp(0.0, 255.0) as u8])
    })
}

/// The picture as the crate takes it.
pub fn frame(picture: &GrayImage) -> GreyFrame<'_> {
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    GreyFrame::new(width, height, width, picture.as_raw()).unwrap()
}

/// The square of `2 half` pixels about a place.
pub fn region(picture: &GrayImage, at: ImagePoint, half_px: usize) -> Region {
    Region::around(frame(picture), at, half_px)
}

/// A place.
pub fn pixel(x_px: f64, y_px: f64) -> ImagePoint {
    ImagePoint { x_px, y_px }
}

/// Median and largest of distances.
pub fn spread(mut distances_px: Vec<f64>) -> (f64, f64) {
    distances_px.sort_by(f64::total_cmp);
    let middle = distances_px.get(distances_px.len() / 2).copied();
    (middle.unwrap_or(f64::NAN), distances_px.last().copied().unwrap_or(f64::NAN))
}
