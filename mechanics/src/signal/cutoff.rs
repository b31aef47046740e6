//! Choice of the low-pass cut-off: residual analysis with a floor and bounds.

use super::filter::{Biquad, default_padding};
use super::segment::TrackSegment;

/// How the low-pass cut-off is chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cutoff {
    /// By residual analysis, marker by marker.
    Automatic,
    /// The same for every marker.
    Fixed {
        /// Of the whole zero-lag filter, not of one pass.
        cutoff_hz: f64,
    },
}

/// Residuals of one marker against the cut-off, and the noise estimated from their straight part.
#[derive(Clone, Debug, PartialEq)]
pub struct Residuals {
    /// Cut-offs tried, in increasing order.
    pub cutoffs_hz: Vec<f64>,
    /// Root mean square distance between raw and filtered positions at each cut-off.
    pub residuals_m: Vec<f64>,
    /// Value at 0 Hz of the line fitted through the straight, high-frequency part.
    pub noise_m: f64,
}

/// Chosen: below 5 Hz the movement of a running foot is lost. Common practice for running video is 6-8 Hz for the
/// trunk and 8-12 Hz for the foot.
const LOWEST_HZ: f64 = 5.0;
/// Chosen: above 12 Hz tracking noise outweighs the movement that is left.
const HIGHEST_HZ: f64 = 12.0;

/// Chosen: above a fifth of the frame rate the derivative filters themselves fail.
const HIGHEST_RATE_RATIO: f64 = 0.2;

/// Chosen: a marker on skin or cloth shows the position of the bone no better than this, so that finer residuals are
/// not movement worth keeping. The floor also gives clean and slightly noisy tracks of one run the same cut-off, on
/// which energies depend (6 to 20 Hz: +33 %).
const FLOOR_M: f64 = 0.001;

/// Cut-offs filtered in parallel. Chosen: a filter waits for its own last output; four side by side fill the wait.
const LANES: usize = 4;

/// Residuals of one segment at cut-offs from 2 to 20 Hz (at most 0.4 of the rate).
#[must_use]
pub fn residuals(segment: &TrackSegment, rate_hz: f64) -> Residuals {
    let cutoffs_hz: Vec<f64> = (2..=20).map(f64::from).filter(|f| *f <= 0.4 * rate_hz).collect();
    let mut residuals_m = Vec::with_capacity(cutoffs_hz.len() + LANES);
    let mut padded = Vec::new();
    for some_hz in cutoffs_hz.chunks(LANES) {
        let last_hz = some_hz.last().copied().unwrap_or(LOWEST_HZ);
        let lanes_hz: [f64; LANES] =
            std::array::from_fn(|i| some_hz.get(i).copied().unwrap_or(last_hz));
        let squares = lane_squares(segment, lanes_hz, rate_hz, &mut padded);
        let coordinates = (2 * segment.len().max(1)) as f64;
        let (x, y) = squares.split_at(LANES);
        residuals_m.extend(x.iter().zip(y).map(|(x, y)| ((x + y) / coordinates).sqrt()));
    }
    residuals_m.truncate(cutoffs_hz.len());
    let straight: Vec<(f64, f64)> = cutoffs_hz
        .iter()
        .copied()
        .zip(residuals_m.iter().copied())
        .filter(|(f, _)| *f >= 10.0)
        .collect();
    let noise_m = intercept(&straight).unwrap_or(0.0).max(0.0);
    Residuals { cutoffs_hz, residuals_m, noise_m }
}

/// One number per cut-off for x, then one per cut-off for y.
type Lanes = [f64; 2 * LANES];

/// Sums of squares of raw minus filtered samples, one per cut-off and axis. Both series are reflected at their ends
/// over the padding of the lowest cut-off.
fn lane_squares(
    segment: &TrackSegment,
    cutoffs_hz: [f64; LANES],
    rate_hz: f64,
    padded: &mut Vec<Lanes>,
) -> Lanes {
    let samples = || segment.x_m.iter().copied().zip(segment.y_m.iter().copied());
    let (Some(first), Some(last)) = (samples().next(), samples().next_back()) else {
        return [0.0; 2 * LANES];
    };
    let lowest_hz = cutoffs_hz.iter().copied().fold(f64::INFINITY, f64::min);
    let padding = default_padding(lowest_hz, rate_hz).min(segment.len() - 1);
    let lanes = |(x, y): (f64, f64)| std::array::from_fn(|lane| if lane < LANES { x } else { y });
    let reflected_at =
        |end: (f64, f64)| move |(x, y): (f64, f64)| lanes((2.0 * end.0 - x, 2.0 * end.1 - y));
    padded.clear();
    padded.extend(samples().skip(1).take(padding).rev().map(reflected_at(first)));
    padded.extend(samples().map(lanes));
    padded.extend(samples().rev().skip(1).take(padding).map(reflected_at(last)));
    let filters = std::array::from_fn(|lane| {
        let hz = cutoffs_hz.get(lane % LANES).copied().unwrap_or(lowest_hz);
        Biquad::zero_lag(hz, rate_hz)
    });
    lane_pass(&filters, padded.iter_mut());
    lane_pass(&filters, padded.iter_mut().rev());
    let mut sums = [0.0; 2 * LANES];
    for (raw, smooth) in samples().map(lanes).zip(padded.iter().skip(padding)) {
        for ((sum, raw), smooth) in sums.iter_mut().zip(raw).zip(smooth) {
            *sum += (raw - smooth) * (raw - smooth);
        }
    }
    sums
}

/// One pass of each filter over its own lane, started in the steady state of the first sample.
fn lane_pass<'a>(filters: &[Biquad; 2 * LANES], mut samples: impl Iterator<Item = &'a mut Lanes>) {
    let forward =
        |k: usize| filters.each_ref().map(|f| f.feed_forward.get(k).copied().unwrap_or(0.0));
    let back = |k: usize| filters.each_ref().map(|f| f.feed_back.get(k).copied().unwrap_or(0.0));
    let (b0, b1, b2, a1, a2) = (forward(0), forward(1), forward(2), back(0), back(1));
    let Some(first) = samples.next() else { return };
    let steady = filters.each_ref().map(Biquad::steady_state);
    let (mut z0, mut z1) = (steady.map(|s| s[0]), steady.map(|s| s[1]));
    for lane in 0..2 * LANES {
        z0[lane] *= first[lane];
        z1[lane] *= first[lane];
    }
    for sample in std::iter::once(first).chain(samples) {
        for lane in 0..2 * LANES {
            let x = sample[lane];
            let y = b0[lane] * x + z0[lane];
            z0[lane] = b1[lane] * x - a1[lane] * y + z1[lane];
            z1[lane] = b2[lane] * x - a2[lane] * y;
            sample[lane] = y;
        }
    }
}

/// Value at zero of the least-squares line through the points; none with fewer than three.
fn intercept(points: &[(f64, f64)]) -> Option<f64> {
    if points.len() < 3 {
        return None;
    }
    let n = points.len() as f64;
    let (mx, my) = points.iter().fold((0.0, 0.0), |(x, y), p| (x + p.0 / n, y + p.1 / n));
    let (sxy, sxx) = points.iter().fold((0.0, 0.0), |(xy, xx), p| {
        (xy + (p.0 - mx) * (p.1 - my), xx + (p.0 - mx) * (p.0 - mx))
    });
    Some(my - sxy / sxx * mx)
}

/// The cut-off at which the residual equals the noise and 1 mm of movement (root sum of squares), within 5 to 12 Hz
/// and at most a fifth of the rate.
///
/// Source: Winter 2009, section 3.4.4.3, with the floor and the bounds chosen above.
#[must_use]
pub fn residual_cutoff_hz(residuals: &Residuals, rate_hz: f64) -> f64 {
    let threshold_m = residuals.noise_m.hypot(FLOOR_M);
    let curve = residuals.cutoffs_hz.iter().zip(&residuals.residuals_m);
    let next = curve.clone().skip(1);
    let crossing = curve.zip(next).find_map(|((f0, r0), (f1, r1))| {
        (*r0 > threshold_m && *r1 <= threshold_m)
            .then(|| f0 + (f1 - f0) * (r0 - threshold_m) / (r0 - r1))
    });
    let never = if residuals.residuals_m.first().is_some_and(|r| *r <= threshold_m) {
        LOWEST_HZ
    } else {
        HIGHEST_HZ
    };
    let highest_hz = HIGHEST_HZ.min(HIGHEST_RATE_RATIO * rate_hz);
    crossing.unwrap_or(never).clamp(LOWEST_HZ.min(highest_hz), highest_hz)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::signal::filter::low_pass;

    #[test]
    fn filters_in_parallel_lanes_give_the_residuals_of_each_filter_alone() {
        let wave = |i: u32| 0.3 * (f64::from(i) * 0.07).sin() + 0.002 * (f64::from(i) * 2.3).cos();
        let x_m: Vec<f64> = (0..400).map(wave).collect();
        let y_m: Vec<f64> = (0..400).map(|i| 1.0 - wave(i + 31)).collect();
        let segment = TrackSegment { first: 0, x_m, y_m };
        let found = residuals(&segment, 120.0);
        for (chunk, got) in found.cutoffs_hz.chunks(LANES).zip(found.residuals_m.chunks(LANES)) {
            let padding = default_padding(chunk[0], 120.0);
            for (hz, got) in chunk.iter().zip(got) {
                let filter = Biquad::zero_lag(*hz, 120.0);
                let squares = |raw: &[f64]| -> f64 {
                    let smooth = low_pass(raw, &filter, padding);
                    raw.iter().zip(&smooth).map(|(a, b)| (a - b).powi(2)).sum()
                };
                let alone = ((squares(&segment.x_m) + squares(&segment.y_m)) / 800.0).sqrt();
                assert!((got - alone).abs() < 1e-12, "{hz} Hz: {got} {alone}");
            }
        }
    }
}
