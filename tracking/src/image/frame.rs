//! A grey picture: a borrowed plane of bytes.

use super::colour::Colour;
use super::image_point::ImagePoint;
use crate::error::Error;

/// A borrowed 8-bit luma plane, row by row from the top.
#[derive(Clone, Copy, Debug)]
pub struct GreyFrame<'a> {
    width_px: usize,
    height_px: usize,
    stride_bytes: usize,
    bytes: &'a [u8],
    colour: Option<Colour<'a>>,
}

impl<'a> GreyFrame<'a> {
    /// A picture over these bytes.
    ///
    /// # Errors
    /// When there are too few bytes or the size is zero.
    pub fn new(
        width_px: usize,
        height_px: usize,
        stride_bytes: usize,
        bytes: &'a [u8],
    ) -> Result<Self, Error> {
        let need =
            (height_px.saturating_sub(1)).saturating_mul(stride_bytes).saturating_add(width_px);
        if width_px == 0 || height_px == 0 || stride_bytes < width_px || bytes.len() < need {
            return Err(Error::Picture {
                width_px,
                height_px,
                stride_bytes,
                have_bytes: bytes.len(),
            });
        }
        Ok(Self { width_px, height_px, stride_bytes, bytes, colour: None })
    }

    /// The same picture with its chroma planes: the blue and the red difference (Cb, Cr), one byte each for two by two
    /// pixels, rows without gaps.
    ///
    /// # Errors
    /// When there are too few bytes.
    pub fn with_colour(self, blue: &'a [u8], red: &'a [u8]) -> Result<Self, Error> {
        let colour = Colour::new(self.width_px, self.height_px, blue, red)?;
        Ok(Self { colour: Some(colour), ..self })
    }

    /// Its chroma planes; `None` of a grey picture.
    pub(super) fn colour(&self) -> Option<Colour<'a>> {
        self.colour
    }

    /// Whether it has chroma planes.
    #[must_use]
    pub fn has_colour(&self) -> bool {
        self.colour.is_some()
    }

    /// Mean blue and red difference (Cb, Cr) from `inner` to `outer` pixels from a place; `None` if the picture has no colour
    /// or no value lies there.
    #[must_use]
    pub fn mean_colour(&self, at: ImagePoint, inner_px: f64, outer_px: f64) -> Option<[f32; 2]> {
        self.colour?.mean(at, inner_px, outer_px)
    }

    /// Width.
    #[must_use]
    pub fn width_px(&self) -> usize {
        self.width_px
    }

    /// Height.
    #[must_use]
    pub fn height_px(&self) -> usize {
        self.height_px
    }

    /// One row, `width_px` bytes; empty outside the picture.
    #[must_use]
    pub fn row(&self, y: usize) -> &'a [u8] {
        if y >= self.height_px {
            return &[];
        }
        let start = y * self.stride_bytes;
        self.bytes.get(start..start + self.width_px).unwrap_or(&[])
    }
}
