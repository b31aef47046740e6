//! WebM and Matroska: the picture track and the place of every block.
//!
//! Source: RFC 9559. The heads are read by `matroska-demuxer`; the blocks are walked here, so that
//! only their heads are read and never the pictures.

mod blocks;
mod checksum;
mod limited_reader;

use super::{Codec, MediaError, Orientation, RawSample, RawTrack};
use checksum::Passed;
use limited_reader::Rationed;
use matroska_demuxer::{MatroskaFile, Range, TrackEntry, TrackType};
use std::io::{Read, Seek, SeekFrom};

/// First bytes of every such file.
///
/// Source: RFC 8794, 11.2.1 (`EBML` element).
const FIRST: [u8; 4] = [0x1a, 0x45, 0xdf, 0xa3];

const NS_PER_S: u64 = 1_000_000_000;

/// Whether a file that begins like this is of this kind.
#[must_use]
pub fn begins(first: &[u8]) -> bool {
    first.starts_with(&FIRST)
}

/// Reads the picture track.
///
/// # Errors
/// When the file is cut off, damaged, without picture or of a codec no browser knows.
pub fn read<R: Read + Seek>(file: &mut R, file_bytes: u64) -> Result<RawTrack, MediaError> {
    file.seek(SeekFrom::Start(0))?;
    let opened = MatroskaFile::open(Rationed::new(Passed::over(&mut *file)?))
        .map_err(|_| MediaError::Damaged { what: "the head of the file, or it is cut off" })?;
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
    let size = size(&track)?;
    Ok(RawTrack {
        codec,
        width_px: size.0,
        height_px: size.1,
        pixel_shape: pixel_shape(&track, size),
        orientation: Orientation::default(),
        ticks_per_s: NS_PER_S,
        movie_ticks_per_s: NS_PER_S,
        samples,
        edits: Vec::new(),
        filmed_rate_hz: None,
    })
}

fn size(track: &TrackEntry) -> Result<(u32, u32), MediaError> {
    const DAMAGED: MediaError = MediaError::Damaged { what: "the size of its picture" };
    let video = track.video().ok_or(DAMAGED)?;
    let narrow = |pixels: u64| {
        u32::try_from(pixels).ok().filter(|p| (1..=16_384).contains(p)).ok_or(DAMAGED)
    };
    Ok((narrow(video.pixel_width().get())?, narrow(video.pixel_height().get())?))
}

/// From the size for showing, when that is in pixels or a ratio of them.
fn pixel_shape(track: &TrackEntry, size: (u32, u32)) -> (u32, u32) {
    let Some(video) = track.video() else { return (1, 1) };
    let shown = |pixels: Option<std::num::NonZeroU64>| {
        pixels.and_then(|p| u32::try_from(p.get()).ok()).filter(|p| *p <= 16_384)
    };
    match (shown(video.display_width()), shown(video.display_height())) {
        // Shown width over coded width, and the same for the height, cross-multiplied.
        (Some(width), Some(height)) => (width * size.1, height * size.0),
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
            is_shown: b.is_shown,
            pts_ticks: b.time_ticks.saturating_mul(tick_ns),
            duration_ticks: frame_ns.and_then(|ns| u32::try_from(ns).ok()).unwrap_or(0),
        })
        .collect();
    if let Some(frame_ns) = frame_ns.and_then(|ns| i64::try_from(ns).ok()) {
        repair(&mut samples, tick_ns, frame_ns);
    }
    samples
}

/// Undoes the rounding of times to ticks (mostly 1 ms): when every time lies within one tick of a
/// whole number of frame durations after the first, that is its time; else the times stay as they are.
fn repair(samples: &mut [RawSample], tick_ns: i64, frame_ns: i64) {
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
            is_shown: true,
            pts_ticks: ms * 1_000_000,
            duration_ticks: 0,
        };
        times_ms.iter().map(sample).collect()
    }

    #[test]
    fn times_rounded_to_milliseconds_at_240_frames_a_second_come_back_evenly_spaced() {
        let times_ms: Vec<i64> =
            (0..1000).map(|n| (f64::from(n) * 1000.0 / 240.0).round() as i64).collect();
        let mut samples = at_ms(&times_ms);
        repair(&mut samples, 1_000_000, 4_166_667);
        for (n, sample) in (0_i64..).zip(&samples) {
            assert_eq!(sample.pts_ticks, n * 4_166_667);
        }
    }

    #[test]
    fn times_of_a_variable_rate_stay_as_they_are() {
        let before = at_ms(&[0, 33, 50, 100, 133]);
        let mut samples = before.clone();
        repair(&mut samples, 1_000_000, 33_333_333);
        assert_eq!(samples, before);
    }
}
