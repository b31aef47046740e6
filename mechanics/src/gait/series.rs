//! One number per grid sample, none in gaps, and the local maxima of such a series.

use crate::signal::{Biquad, Grid, TrackSegment, default_padding, low_pass};

/// Chosen: impacts need a higher cut-off than the movement does; 15 Hz as in the comparison with the force plate.
const EVENT_CUTOFF_HZ: f64 = 15.0;
/// Chosen: at low frame rates the cut-off stays well below half the rate.
const EVENT_CUTOFF_RATE_RATIO: f64 = 0.3;

/// One value per sample of the grid; none in gaps.
pub type Series = Vec<Option<f64>>;

/// Both coordinates of a landmark.
pub struct Path {
    pub x_m: Series,
    pub y_m: Series,
}

impl Path {
    /// The track on the whole grid, each segment low-passed at the cut-off for events; nothing in the gaps.
    pub fn smoothed(segments: &[TrackSegment], grid: &Grid) -> Self {
        let cutoff_hz = EVENT_CUTOFF_HZ.min(EVENT_CUTOFF_RATE_RATIO * grid.rate_hz);
        let filter = Biquad::zero_lag(cutoff_hz, grid.rate_hz);
        let padding = default_padding(cutoff_hz, grid.rate_hz);
        let mut path = Self { x_m: vec![None; grid.count], y_m: vec![None; grid.count] };
        for segment in segments {
            for (series, raw) in [(&mut path.x_m, &segment.x_m), (&mut path.y_m, &segment.y_m)] {
                let samples = series.iter_mut().skip(segment.first);
                for (sample, value) in samples.zip(low_pass(raw, &filter, padding)) {
                    *sample = Some(value);
                }
            }
        }
        path
    }
}

/// The value at a sample.
pub fn value(series: &Series, index: usize) -> Option<f64> {
    series.get(index).copied().flatten()
}

/// Peak of the parabola through a sample and its two neighbours, as an offset from the sample in -0.5..=0.5.
pub fn vertex_offset(before: f64, here: f64, after: f64) -> f64 {
    let bend = before - 2.0 * here + after;
    if bend.abs() < f64::MIN_POSITIVE {
        0.0
    } else {
        (0.5 * (before - after) / bend).clamp(-0.5, 0.5)
    }
}

/// Fractional index of the local maximum at a sample; none if it is not one.
pub fn local_maximum(series: &Series, index: usize) -> Option<f64> {
    let before = value(series, index.checked_sub(1)?)?;
    let (here, after) = (value(series, index)?, value(series, index + 1)?);
    (here >= before && here > after).then(|| index as f64 + vertex_offset(before, here, after))
}

/// Second difference at the middle sample.
pub fn acceleration(series: &Series, grid: &Grid) -> Series {
    let mut out = vec![None; series.len()];
    for (sample, three) in out.iter_mut().skip(1).zip(series.windows(3)) {
        if let [Some(a), Some(b), Some(c)] = three {
            *sample = Some((c - 2.0 * b + a) * grid.rate_hz * grid.rate_hz);
        }
    }
    out
}

/// SD of an instant that is known to half a frame either way. Source: uniform distribution, `1 / (rate sqrt(12))`.
pub fn frame_sd_s(grid: &Grid) -> f64 {
    1.0 / (grid.rate_hz * 12.0_f64.sqrt())
}
