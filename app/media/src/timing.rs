//! From samples in decoding order to frames in display order.

use crate::error::{MediaError, Part};
use crate::track::{Edit, MAX_SAMPLES, RawSample, RawTrack};

/// A coded frame as the decoder takes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sample {
    /// Where its bytes begin in the file.
    pub offset: u64,
    /// Number of bytes.
    pub size_bytes: u32,
    /// Whether decoding can begin here.
    pub is_key: bool,
    /// The timestamp that identifies the decoded picture; no two samples share one.
    pub stamp_us: i64,
}

/// A frame in display order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DisplayFrame {
    /// Index of its sample in decoding order.
    pub sample: usize,
    /// Time since the first displayed frame.
    pub stamp_s: f64,
}

/// Smallest step between the timestamps of two displayed frames, in seconds.
///
/// Chosen: one microsecond, the unit of a browser's timestamps.
const MIN_STEP_S: f64 = 1e-6;

/// Largest timestamp, in microseconds. Exact: a double, in which browsers keep timestamps, represents
/// every integer up to here and the half between two of them.
const MAX_STAMP_US: u64 = 1 << 52;

/// Samples with timestamps in microseconds that rise strictly in display order.
///
/// Two samples may round to the same microsecond, or a damaged file may give both the same time; the
/// later one is then moved by a microsecond, since the timestamp identifies the picture.
///
/// # Errors
/// When a time is too large for a browser's timestamps.
pub fn samples(track: &RawTrack) -> Result<Vec<Sample>, MediaError> {
    let mut order: Vec<usize> = (0..track.samples.len()).collect();
    order.sort_by_key(|i| track.samples.get(*i).map(|s| s.pts_ticks));
    let mut stamps_us = vec![0_i64; track.samples.len()];
    let mut previous_us = i64::MIN;
    for i in order {
        let (Some(raw), Some(stamp_us)) = (track.samples.get(i), stamps_us.get_mut(i)) else {
            continue;
        };
        let us = i128::from(raw.pts_ticks) * 1_000_000;
        let us = us.div_euclid(i128::from(track.ticks_per_s));
        let us = i64::try_from(us).ok().filter(|us| us.unsigned_abs() < MAX_STAMP_US);
        *stamp_us = us.ok_or(Part::Times)?.max(previous_us.saturating_add(1));
        previous_us = *stamp_us;
    }
    let sample = |(raw, stamp_us): (&RawSample, i64)| Sample {
        offset: raw.offset,
        size_bytes: raw.size_bytes,
        is_key: raw.is_key,
        stamp_us,
    };
    Ok(track.samples.iter().zip(stamps_us).map(sample).collect())
}

/// A sample's presentation time and its index in decoding order.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Presented {
    pts_ticks: i64,
    sample: usize,
}

/// The displayed frames, in display order.
///
/// With an edit list, the frames whose presentation time lies within an edit, edit after edit; an empty
/// edit only delays, and time begins with the first displayed frame. A list that displays nothing, or
/// more than a clip may have, is ignored.
pub fn display_frames(track: &RawTrack) -> Vec<DisplayFrame> {
    let displayed = track.samples.iter().enumerate().filter(|(_, s)| s.is_displayed);
    let mut order: Vec<Presented> =
        displayed.map(|(sample, s)| Presented { pts_ticks: s.pts_ticks, sample }).collect();
    order.sort_unstable();
    let mut frames = edited(track, &order);
    if frames.is_empty() || frames.len() > MAX_SAMPLES {
        let frame = |at: &Presented| DisplayFrame {
            sample: at.sample,
            stamp_s: at.pts_ticks as f64 / track.ticks_per_s as f64,
        };
        frames = order.iter().map(frame).collect();
    }
    let first_s = frames.first().map_or(0.0, |f| f.stamp_s);
    let mut previous_s = f64::NEG_INFINITY;
    for frame in &mut frames {
        frame.stamp_s = (frame.stamp_s - first_s).max(previous_s + MIN_STEP_S);
        previous_s = frame.stamp_s;
    }
    frames
}

/// The frames of all edits on the movie's clock; stops once there are more than a clip may have.
fn edited(track: &RawTrack, order: &[Presented]) -> Vec<DisplayFrame> {
    let mut frames = Vec::new();
    let mut clock_s = 0.0;
    for edit in &track.edits {
        if let Some(begin_ticks) = edit.media_ticks {
            let frame = |at: &Presented| DisplayFrame {
                sample: at.sample,
                stamp_s: clock_s
                    + (at.pts_ticks as f64 - begin_ticks as f64) / track.ticks_per_s as f64,
            };
            frames.extend(within(track, order, edit, begin_ticks).iter().map(frame));
            if frames.len() > MAX_SAMPLES {
                break;
            }
        }
        clock_s += edit.duration_ticks as f64 / track.movie_ticks_per_s as f64;
    }
    frames
}

/// The frames that begin within an edit.
///
/// The edit's duration is rounded to the movie's clock, mostly up, so that the frame after its last may
/// seem to begin within it: the end is therefore one tick of that clock earlier, or half a frame if that is less.
fn within<'a>(
    track: &RawTrack,
    order: &'a [Presented],
    edit: &Edit,
    begin_ticks: i64,
) -> &'a [Presented] {
    let from = order.partition_point(|at| at.pts_ticks < begin_ticks);
    let rest = order.get(from..).unwrap_or_default();
    if edit.duration_ticks == 0 {
        return rest;
    }
    let to_track_clock = |ticks: u64| {
        let ticks = i128::from(ticks) * i128::from(track.ticks_per_s);
        i64::try_from(ticks / i128::from(track.movie_ticks_per_s)).unwrap_or(i64::MAX)
    };
    let end_ticks = begin_ticks.saturating_add(to_track_clock(edit.duration_ticks));
    let slack_ticks = |sample: usize| {
        let half = track.samples.get(sample).map_or(0, |s| i64::from(s.duration_ticks) / 2);
        to_track_clock(1).min(half)
    };
    let to =
        rest.partition_point(|at| at.pts_ticks.saturating_add(slack_ticks(at.sample)) < end_ticks);
    rest.get(..to).unwrap_or_default()
}
