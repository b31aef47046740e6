//! The grey picture of a decoded frame, and its colour where that is wanted.

use super::colour::{Sampling, of_colours};
use jobs::Differences;
use js_sys::{Array, Object, Reflect, Uint8Array};
use tracking::image::{GreyFrame, Order, push_grey};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{PlaneLayout, VideoFrame, VideoFrameCopyToOptions, VideoPixelFormat};

/// A luma plane of its own: rows without gaps.
#[derive(Clone, Debug, Default)]
pub struct Luma {
    /// Columns.
    pub width_px: usize,
    /// Rows.
    pub height_px: usize,
    /// `width_px * height_px` bytes.
    pub bytes: Vec<u8>,
    /// Its colour, where that was wanted and the browser gives it.
    pub colour: Option<Differences>,
}

impl Luma {
    /// The picture as the tracker takes it.
    ///
    /// # Errors
    /// When the bytes do not make a picture of its size.
    pub fn frame(&self) -> Result<GreyFrame<'_>, String> {
        let frame = GreyFrame::new(self.width_px, self.height_px, self.width_px, &self.bytes);
        let frame = match (frame, &self.colour) {
            (Ok(frame), Some(colour)) => frame.with_colour(&colour.blue, &colour.red),
            (frame, _) => frame,
        };
        frame.map_err(|e| e.to_string())
    }
}

/// How the first plane of a format holds the luma.
enum Plane {
    /// One byte a pixel.
    Bytes,
    /// Two bytes a pixel, lower first, with so many bits.
    Words { bits: u32 },
    /// Red, green, blue and another, each a byte, or the other way round.
    Colours(Order),
}

fn plane_of(format: &str) -> Plane {
    match format {
        "I420" | "I420A" | "I422" | "I422A" | "I444" | "I444A" | "NV12" => Plane::Bytes,
        f if f.starts_with('I') && f.contains("P10") => Plane::Words { bits: 10 },
        f if f.starts_with('I') && f.contains("P12") => Plane::Words { bits: 12 },
        // As Firefox gives it, which takes half as long again to turn it round.
        "BGRA" | "BGRX" => Plane::Colours(Order::BlueFirst),
        _ => Plane::Colours(Order::RedFirst),
    }
}

impl Plane {
    fn bits(&self) -> u32 {
        if let Self::Words { bits } = self { *bits } else { 8 }
    }
}

/// Copies the luma of a frame and, where it is wanted, the colour; `buffer` is kept from frame to frame so that it is
/// made once.
///
/// # Errors
/// When the browser refuses to copy the frame.
pub async fn luma(
    frame: &VideoFrame,
    buffer: &mut Uint8Array,
    with_colour: bool,
) -> Result<Luma, String> {
    let refused = |_: JsValue| {
        "the browser would not give out the picture: open the clip again, or use another browser"
            .to_owned()
    };
    let format =
        Reflect::get(frame, &"format".into()).ok().and_then(|f| f.as_string()).unwrap_or_default();
    let plane = plane_of(&format);
    let options = VideoFrameCopyToOptions::new();
    if matches!(plane, Plane::Colours(Order::RedFirst)) {
        options.set_format(VideoPixelFormat::Rgba);
    }
    let size = frame.allocation_size_with_options(&options).map_err(refused)?;
    if buffer.length() != size {
        *buffer = Uint8Array::new_with_length(size);
    }
    let promise =
        frame.copy_to_with_buffer_source_and_options(buffer.unchecked_ref::<Object>(), &options);
    let layouts = JsFuture::from(promise).await.map_err(refused)?;
    let layouts = Array::from(&layouts);
    let layout: PlaneLayout = layouts.get(0).unchecked_into();
    let rect =
        frame.visible_rect().ok_or("the browser sent an empty picture: open the clip again")?;
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a picture's size is a small whole number"
    )]
    let (width_px, height_px) = (rect.width() as usize, rect.height() as usize);
    let offset = value(&layout, "offset");
    let stride = value(&layout, "stride");
    let per_pixel = match plane {
        Plane::Bytes => 1,
        Plane::Words { .. } => 2,
        Plane::Colours(_) => 4,
    };
    let end = offset + stride * (height_px.saturating_sub(1)) + width_px * per_pixel;
    if stride < width_px * per_pixel || end > size as usize {
        return Err("the browser sent a picture of another size than it said: open the clip again"
            .to_owned());
    }
    let rows = raw_rows(buffer, offset, stride, height_px);
    let size_px = (width_px, height_px);
    let colour = match plane {
        _ if !with_colour => None,
        Plane::Colours(order) => Some(of_colours(&rows, stride, order, size_px)),
        _ => colour(&format, plane.bits(), (buffer, &layouts), size_px),
    };
    Ok(Luma { width_px, height_px, bytes: grey(rows, &plane, stride, size_px), colour })
}

/// The differences that the other planes of a format hold.
fn colour(
    format: &str,
    bits: u32,
    (buffer, layouts): (&Uint8Array, &Array),
    size_px: (usize, usize),
) -> Option<Differences> {
    let sampling = Sampling::of(format, bits)?;
    let [blue, red] = sampling.planes().map(|(plane, first)| {
        let layout: PlaneLayout = layouts.get(u32::try_from(plane).ok()?).unchecked_into();
        let stride = value(&layout, "stride");
        let rows = raw_rows(buffer, value(&layout, "offset"), stride, sampling.rows(size_px.1));
        Some(sampling.read((rows, stride), first, size_px))
    });
    Some(Differences { blue: blue?, red: red? })
}

fn value(layout: &PlaneLayout, name: &str) -> usize {
    let number = Reflect::get(layout, &name.into()).ok().and_then(|v| v.as_f64()).unwrap_or(0.0);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "an offset or a stride is a small whole number"
    )]
    let number = number as usize;
    number
}

fn raw_rows(buffer: &Uint8Array, offset: usize, stride: usize, height: usize) -> Vec<u8> {
    let narrow = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let end = (offset + stride * height).min(buffer.length() as usize);
    buffer.subarray(narrow(offset), narrow(end)).to_vec()
}

/// Rows of grey bytes without gaps.
///
/// From colours: 0.2126 R + 0.7152 G + 0.0722 B. Source: Recommendation ITU-R BT.709-6, item 3.2.
fn grey(
    mut rows: Vec<u8>,
    plane: &Plane,
    stride: usize,
    (width, height): (usize, usize),
) -> Vec<u8> {
    if matches!(plane, Plane::Bytes) && stride == width {
        rows.truncate(width * height);
        return rows;
    }
    let mut bytes = Vec::with_capacity(width * height);
    for row in rows.chunks(stride).take(height) {
        match plane {
            Plane::Bytes => bytes.extend_from_slice(row.get(..width).unwrap_or(row)),
            Plane::Words { bits } => bytes.extend(row.chunks_exact(2).take(width).map(|w| {
                let value = u16::from(w.first().copied().unwrap_or(0))
                    | u16::from(w.get(1).copied().unwrap_or(0)) << 8;
                u8::try_from(value >> (bits - 8)).unwrap_or(u8::MAX)
            })),
            Plane::Colours(order) => {
                push_grey(row.get(..4 * width).unwrap_or(row), *order, &mut bytes);
            }
        }
    }
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_lose_the_gap_at_their_ends() {
        assert_eq!(grey(vec![1, 2, 9, 3, 4, 9], &Plane::Bytes, 3, (2, 2)), [1, 2, 3, 4]);
        assert_eq!(grey(vec![1, 2, 3, 4, 5], &Plane::Bytes, 2, (2, 2)), [1, 2, 3, 4]);
    }

    #[test]
    fn ten_bits_become_eight_and_white_stays_white() {
        assert_eq!(
            grey(vec![0xff, 0x03, 0x00, 0x02], &Plane::Words { bits: 10 }, 4, (2, 1)),
            [255, 128]
        );
        assert_eq!(
            grey(vec![255, 255, 255, 0, 0, 0, 0, 0], &Plane::Colours(Order::RedFirst), 8, (2, 1)),
            [255, 0]
        );
    }
}
