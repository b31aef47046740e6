//! The capture rate that a phone writes into a slow-motion clip.

use super::boxes::{child, children};

/// Name under which Android phones write the capture rate.
///
/// Source: Android Open Source Project, `MPEG4Writer` (key `com.android.capture.fps`).
const KEY: &[u8] = b"com.android.capture.fps";

/// Type of a value that is a 32-bit float.
///
/// Source: Apple, QuickTime File Format Specification, "Well-known data types".
const FLOAT32: u32 = 23;

/// Frames per second of the camera; none when the index does not name the rate.
#[must_use]
pub fn capture_rate_hz(movie: &[u8]) -> Option<f64> {
    // Phones write `meta` beside the tracks; programs that copy clips write it within `udta`.
    let meta = match child(movie, b"meta").ok()? {
        Some(meta) => meta,
        None => child(child(movie, b"udta").ok()??, b"meta").ok()??,
    };
    // QuickTime writes `meta` without version and flags, ISO files with them.
    let meta = if meta.get(4..8) == Some(b"hdlr".as_slice()) { meta } else { meta.get(4..)? };
    let keys = child(meta, b"keys").ok()??.get(8..)?;
    let place = children(keys).ok()?.iter().position(|(_, name)| *name == KEY)?;
    let number = u32::try_from(place + 1).ok()?.to_be_bytes();
    let item = child(child(meta, b"ilst").ok()??, &number).ok()??;
    let data = child(item, b"data").ok()??;
    if data.get(..4)? != FLOAT32.to_be_bytes() {
        return None;
    }
    let rate_hz = f64::from(f32::from_be_bytes(*data.get(8..)?.first_chunk::<4>()?));
    (rate_hz.is_finite() && (1.0..=10_000.0).contains(&rate_hz)).then_some(rate_hz)
}
