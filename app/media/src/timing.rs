//! From samples in the order of decoding to frames in the order of showing.

use super::{Edit, MediaError, RawTrack};

/// A coded frame as the decoder is fed with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sample {
    /// Where its bytes begin.
    pub offset: u64,
    /// How many there are.
    pub size_bytes: u32,
    /// Whether decoding can begin here.
    pub is_key: bool,
    /// The stamp by which the decoded picture is known again; no two samples share one.
    pub stamp_us: i64,
}

/// A frame as it is shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shown {
    /// Its sample, in the order of decoding.
    pub sample: usize,
    /// Time since the first shown frame.
    pub stamp_s: f64,
}

/// Stamps in microseconds, strictly rising in the order of showing.
///
/// Two samples may round to the same microsecond, or a damaged file may stamp them alike; they are
/// then moved apart by one microsecond, since a stamp is also a name here.
pub(super) fn samples(track: &RawTrack) -> Result<Vec<Sample>, MediaError> {
    const BEYOND: MediaError = MediaError::Damaged { what: "its times are beyond all measure" };
    let mut order: Vec<usize> = (0..track.samples.len()).collect();
    order.sort_by_key(|i| track.samples.get(*i).map(|s| s.pts_ticks));
    let mut stamps = vec![0_i64; track.samples.len()];
    let mut before = i64::MIN;
    for i in order {
        let (Some(raw), Some(stamp)) = (track.samples.get(i), stamps.get_mut(i)) else { continue };
        let us = i128::from(raw.pts_ticks) * 1_000_000;
        let us = us.div_euclid(i128::from(track.ticks_per_s));
        // Beyond this a double, in which browsers keep stamps, no longer tells microseconds apart.
        let us = i64::try_from(us).ok().filter(|us| us.abs() < 1 << 52).ok_or(BEYOND)?;
        *stamp = us.max(before.saturating_add(1));
        before = *stamp;
    }
    let sample = |(raw, stamp_us): (&super::RawSample, i64)| Sample {
        offset: raw.offset,
        size_bytes: raw.size_bytes,
        is_key: raw.is_key,
        stamp_us,
    };
    Ok(track.samples.iter().zip(stamps).map(sample).collect())
}

/// The frames to be shown, in that order.
///
/// With an edit list, the frames whose time of showing lies within an edit, edit after edit; an empty
/// edit only delays, and the clock here begins with the first shown frame. A list that would show
/// nothing is passed over.
pub(super) fn shown(track: &RawTrack) -> Vec<Shown> {
    let mut order: Vec<(i64, usize)> = track
        .samples
        .iter()
        .enumerate()
        .filter(|(_, s)| s.is_shown)
        .map(|(i, s)| (s.pts_ticks, i))
        .collect();
    order.sort_unstable();
    let mut times: Vec<(f64, usize)> = Vec::new();
    let mut clock_s = 0.0;
    for edit in &track.edits {
        let length_s = edit.duration_ticks as f64 / track.movie_ticks_per_s as f64;
        if let Some(begin) = edit.media_ticks {
            let within = within(track, &order, edit, begin);
            let time = |(pts, i): &(i64, usize)| {
                (clock_s + (*pts as f64 - begin as f64) / track.ticks_per_s as f64, *i)
            };
            times.extend(within.iter().map(time));
            if times.len() > super::MOST_SAMPLES {
                times.clear();
                break;
            }
        }
        clock_s += length_s;
    }
    if times.is_empty() {
        let time = |(pts, i): &(i64, usize)| (*pts as f64 / track.ticks_per_s as f64, *i);
        times = order.iter().map(time).collect();
    }
    let first_s = times.first().map_or(0.0, |t| t.0);
    let mut before_s = f64::NEG_INFINITY;
    let stamped = |(time_s, sample): (f64, usize)| {
        before_s = (time_s - first_s).max(before_s + LEAST_APART_S);
        Shown { sample, stamp_s: before_s }
    };
    times.into_iter().map(stamped).collect()
}

/// Frames that a file stamps alike are shown one after the other, moved apart by as little as their samples are.
const LEAST_APART_S: f64 = 1e-6;

/// The frames that begin within an edit.
///
/// Its length is rounded to the movie's clock, mostly up, so that the frame after the last may seem to
/// begin within it: one tick of that clock, at most half a frame, does not count.
fn within<'a>(
    track: &RawTrack,
    order: &'a [(i64, usize)],
    edit: &Edit,
    begin: i64,
) -> &'a [(i64, usize)] {
    let from = order.partition_point(|(pts, _)| *pts < begin);
    let rest = order.get(from..).unwrap_or_default();
    if edit.duration_ticks == 0 {
        return rest;
    }
    let to_media = |ticks: u64| {
        let media = i128::from(ticks) * i128::from(track.ticks_per_s);
        i64::try_from(media / i128::from(track.movie_ticks_per_s)).unwrap_or(i64::MAX)
    };
    let end = begin.saturating_add(to_media(edit.duration_ticks));
    let slack = |i: usize| {
        let half = track.samples.get(i).map_or(0, |s| i64::from(s.duration_ticks) / 2);
        to_media(1).min(half)
    };
    let to = rest.partition_point(|(pts, i)| pts.saturating_add(slack(*i)) < end);
    rest.get(..to).unwrap_or_default()
}
