//! WebM and Matroska: the video track and the place of every block.
//!
//! Source: RFC 9559. `matroska-demuxer` reads the head of the file; the walk over the blocks is our own, so
//! that their heads are read and the pictures are not.

mod blocks;
mod checksum;
mod limited_reader;
mod vint;

use crate::codec::Codec;
use crate::error::{MediaError, Part};
use crate::rotation::Orientation;
use crate::track::{RawSample, RawTrack};
use checksum::ChecksumHidden;
use limited_reader::LimitedReader;
use matroska_demuxer::{MatroskaFile, Range, TrackEntry, TrackType};
use std::io::{Read, Seek, SeekFrom};

/// First bytes of every such file.
///
/// Source: RFC 8794, 11.2.1 (`EBML` element).
const FIRST: [u8; 4] = [0x1a, 0x45, 0xdf, 0xa3];

/// Largest width or height. Chosen: the largest of H.264, and four times the width of a 4K camera.
const MAX_SIDE_PX: u64 = 16_384;

const NS_PER_S: u64 = 1_000_000_000;

/// Whether a file with these first bytes is of this kind.
#[must_use]
pub fn is_matroska(first: &[u8]) -> bool {
    first.starts_with(&FIRST)
}

/// Reads the video track.
///
/// # Errors
/// When the file is cut off, damaged, without a video track, or browsers have no decoder for its codec.
pub fn read<R: Read + Seek>(file: &mut R, file_bytes: u64) -> Result<RawTrack, MediaError> {
    file.seek(SeekFrom::Start(0))?;
    let opened =
        MatroskaFile::open(LimitedReader::new(ChecksumHidden::new(&mut *file)?, file_bytes))
            .map_err(|_| Part::FileHead)?;
    let track = opened
        .tracks()
        .iter()
        .find(|t| t.track_type() == TrackType::Video)
        .ok_or(MediaError::NoPicture)?
        .clone();
    let tick_ns = opened.info().timestamp_scale().get();
    drop(opened);
    let blocks = blocks::scan(file, file_bytes, track.track_number().get())?;
    if blocks.is_empty() {
        return Err(MediaError::NoPicture);
    }
    let samples = samples(&blocks, tick_ns, track.default_duration().map(std::num::NonZero::get));
    let range = track.video().and_then(|v| v.colour()?.range());
    let codec = match codec(file, &track, &samples)? {
        codec if range == Some(Range::Full) => codec.in_full_range(),
        codec => codec,
    };
    let (width_px, height_px) = size_px(&track)?;
    Ok(RawTrack {
        codec,
        width_px,
        height_px,
        pixel_shape: pixel_shape(&track, width_px, height_px),
        orientation: Orientation::default(),
        ticks_per_s: NS_PER_S,
        movie_ticks_per_s: NS_PER_S,
        samples,
        edits: Vec::new(),
        capture_rate_hz: None,
    })
}

fn size_px(track: &TrackEntry) -> Result<(u32, u32), MediaError> {
    let video = track.video().ok_or(Part::PictureSize)?;
    let side = |pixels: u64| {
        let side = u32::try_from(pixels).ok().filter(|_| (1..=MAX_SIDE_PX).contains(&pixels));
        side.ok_or(MediaError::from(Part::PictureSize))
    };
    Ok((side(video.pixel_width().get())?, side(video.pixel_height().get())?))
}

/// From the display size, which is in pixels or a ratio of them.
fn pixel_shape(track: &TrackEntry, width_px: u32, height_px: u32) -> (u32, u32) {
    let Some(video) = track.video() else { return (1, 1) };
    let side = |pixels: Option<std::num::NonZeroU64>| {
        pixels.and_then(|p| u32::try_from(p.get()).ok()).filter(|p| u64::from(*p) <= MAX_SIDE_PX)
    };
    match (side(video.display_width()), side(video.display_height())) {
        // Display width over coded width, and the same for the height, cross-multiplied.
        (Some(width), Some(height)) => (width * height_px, height * width_px),
        _ => (1, 1),
    }
}

fn codec<R: Read + Seek>(
    file: &mut R,
    track: &TrackEntry,
    samples: &[RawSample],
) -> Result<Codec, MediaError> {
    let private = track.codec_private().unwrap_or_default();
    match track.codec_id().trim_end_matches('\0') {
        "V_VP8" => Ok(Codec::vp8()),
        "V_VP9" => Codec::vp9_of_key_frame(&first_bytes(file, samples)?),
        "V_AV1" => Codec::av1(private),
        "V_MPEG4/ISO/AVC" => Codec::avc(private),
        "V_MPEGH/ISO/HEVC" => Codec::hevc(private),
        other => Err(MediaError::UnknownCodec {
            codec: format!("'{}'", other.chars().take(40).collect::<String>().escape_debug()),
        }),
    }
}

fn first_bytes<R: Read + Seek>(file: &mut R, samples: &[RawSample]) -> Result<Vec<u8>, MediaError> {
    let first = samples.iter().find(|s| s.is_key).or(samples.first());
    let Some(sample) = first else { return Ok(Vec::new()) };
    let mut bytes = Vec::new();
    file.seek(SeekFrom::Start(sample.offset))?;
    file.take(u64::from(sample.size_bytes.min(16))).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Blocks with their times in nanoseconds.
fn samples(blocks: &[blocks::Block], tick_ns: u64, frame_ns: Option<u64>) -> Vec<RawSample> {
    let tick_ns = i64::try_from(tick_ns).unwrap_or(i64::MAX);
    let mut samples: Vec<RawSample> = blocks
        .iter()
        .map(|b| RawSample {
            offset: b.offset,
            size_bytes: b.size_bytes,
            is_key: b.is_key,
            is_displayed: b.is_displayed,
            pts_ticks: b.time_ticks.saturating_mul(tick_ns),
            duration_ticks: frame_ns.and_then(|ns| u32::try_from(ns).ok()).unwrap_or(0),
        })
        .collect();
    if let Some(frame_ns) = frame_ns.and_then(|ns| i64::try_from(ns).ok()) {
        undo_rounding(&mut samples, tick_ns, frame_ns);
    }
    samples
}

/// Undoes the rounding of times to ticks (mostly 1 ms): if every time lies within one tick of a whole
/// number of frame durations after the first, that becomes its time; else all times stay as they are.
fn undo_rounding(samples: &mut [RawSample], tick_ns: i64, frame_ns: i64) {
    let Some(first_ns) = samples.iter().map(|s| s.pts_ticks).min() else { return };
    let exact = |s: &RawSample| {
        let after_ns = s.pts_ticks.checked_sub(first_ns)?;
        let frames = after_ns.checked_add(frame_ns / 2)? / frame_ns;
        let exact_ns = frames.checked_mul(frame_ns)?;
        ((after_ns - exact_ns).abs() <= tick_ns).then_some(first_ns + exact_ns)
    };
    let exact: Option<Vec<i64>> = samples.iter().map(exact).collect();
    for (sample, exact_ns) in samples.iter_mut().zip(exact.unwrap_or_default()) {
        sample.pts_ticks = exact_ns;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at_ms(times_ms: &[i64]) -> Vec<RawSample> {
        let sample = |ms: &i64| RawSample {
            offset: 0,
            size_bytes: 1,
            is_key: true,
            is_displayed: true,
            pts_ticks: ms * 1_000_000,
            duration_ticks: 0,
        };
        times_ms.iter().map(sample).collect()
    }

    #[test]
    fn times_rounded_to_milliseconds_at_240_frames_per_second_become_evenly_spaced() {
        let times_ms: Vec<i64> =
            (0..1000).map(|n| (f64::from(n) * 1000.0 / 240.0).round() as i64).collect();
        let mut samples = at_ms(&times_ms);
        undo_rounding(&mut samples, 1_000_000, 4_166_667);
        for (n, sample) in (0_i64..).zip(&samples) {
            assert_eq!(sample.pts_ticks, n * 4_166_667);
        }
    }

    #[test]
    fn times_of_a_variable_frame_rate_stay_as_they_are() {
        let before = at_ms(&[0, 33, 50, 100, 133]);
        let mut samples = before.clone();
        undo_rounding(&mut samples, 1_000_000, 33_333_333);
        assert_eq!(samples, before);
    }
}
