//! The sample entry of a video track: picture size, pixel shape and codec.

use super::boxes::{child, children};
use crate::codec::Codec;
use crate::error::{MediaError, Part};

/// The sample entry of a video track.
pub struct Entry {
    /// The codec.
    pub codec: Codec,
    /// Columns.
    pub width_px: u32,
    /// Rows.
    pub height_px: u32,
    /// Width and height of one pixel, up to a factor.
    pub pixel_shape: (u32, u32),
}

/// Bytes of a visual sample entry before its boxes.
///
/// Source: ISO/IEC 14496-12:2022, 12.1.3 (`VisualSampleEntry`).
const FIXED_BYTES: usize = 78;
/// Offset of its width, which its height follows.
const SIZE_AT: usize = 24;

const DAMAGED: Part = Part::SampleDescription;

/// Reads the first entry of `stsd`.
///
/// # Errors
/// When it is damaged or browsers have no decoder for its codec.
pub fn read(stsd: &[u8]) -> Result<Entry, MediaError> {
    let entries = children(stsd.get(8..).ok_or(DAMAGED)?)?;
    let (kind, body) = entries.first().copied().ok_or(DAMAGED)?;
    let boxes = body.get(FIXED_BYTES..).ok_or(DAMAGED)?;
    let size = body.get(SIZE_AT..).and_then(|size| size.first_chunk::<4>()).ok_or(DAMAGED)?;
    let [a, b, c, d] = *size;
    let required = |kind| child(boxes, kind)?.ok_or(MediaError::from(DAMAGED));
    let codec = match &kind {
        b"avc1" | b"avc2" | b"avc3" | b"avc4" => Codec::avc(required(b"avcC")?)?,
        b"hvc1" | b"hev1" | b"dvh1" | b"dvhe" => Codec::hevc(required(b"hvcC")?)?,
        b"vp08" => Codec::vp8(),
        b"vp09" => Codec::vp9_of_box(required(b"vpcC")?.get(4..).ok_or(DAMAGED)?)?,
        b"av01" => Codec::av1(required(b"av1C")?)?,
        other => return Err(Codec::unknown(other)),
    };
    Ok(Entry {
        codec: if is_full_range(boxes)? { codec.in_full_range() } else { codec },
        width_px: u32::from(u16::from_be_bytes([a, b])),
        height_px: u32::from(u16::from_be_bytes([c, d])),
        pixel_shape: pixel_shape(boxes)?,
    })
}

/// Whether black is 0 and white the highest value.
///
/// Source: ISO/IEC 14496-12:2022, 12.1.5 (`colr` of type `nclx`: three words, then the flag).
fn is_full_range(boxes: &[u8]) -> Result<bool, MediaError> {
    let colr = child(boxes, b"colr")?.unwrap_or_default();
    Ok(colr.starts_with(b"nclx") && colr.get(10).is_some_and(|flags| flags & 0x80 != 0))
}

/// Source: ISO/IEC 14496-12:2022, 12.1.4 (`pasp`).
fn pixel_shape(boxes: &[u8]) -> Result<(u32, u32), MediaError> {
    let shape = child(boxes, b"pasp")?.and_then(|pasp| pasp.first_chunk::<8>());
    Ok(match shape {
        Some(&[a, b, c, d, e, f, g, h]) => {
            let (width, height) =
                (u32::from_be_bytes([a, b, c, d]), u32::from_be_bytes([e, f, g, h]));
            if width == 0 || height == 0 { (1, 1) } else { (width, height) }
        }
        None => (1, 1),
    })
}
