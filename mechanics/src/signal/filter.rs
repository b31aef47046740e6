//! The zero-lag second-order Butterworth low-pass.
//!
//! ```
//! use mechanics::signal::{Biquad, default_padding, low_pass};
//!
//! // A heel that goes up and down at 2 Hz, with a tracker's jitter at 45 Hz, filmed at 120 frames/s.
//! let (rate_hz, cutoff_hz) = (120.0, 8.0);
//! let wave = |frame: i32, f_hz: f64| (std::f64::consts::TAU * f_hz * f64::from(frame) / rate_hz).sin();
//! let raw_m: Vec<f64> = (0..240).map(|i| 0.2 * wave(i, 2.0) + 0.005 * wave(i, 45.0)).collect();
//!
//! let filter = Biquad::zero_lag(cutoff_hz, rate_hz);
//! let smooth_m = low_pass(&raw_m, &filter, default_padding(cutoff_hz, rate_hz));
//!
//! // Two passes: half the power at the cut-off, and no lag.
//! assert!((filter.gain(cutoff_hz, rate_hz).powi(2) - 0.5_f64.sqrt()).abs() < 1e-9);
//! for (frame, height_m) in (0..240).zip(&smooth_m).skip(30).take(180) {
//!     assert!((height_m - 0.2 * wave(frame, 2.0)).abs() < 0.001);
//! }
//! ```

/// One pass of a second-order filter: `y_i = b0 x_i + b1 x_(i-1) + b2 x_(i-2) - a1 y_(i-1) - a2 y_(i-2)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Biquad {
    /// Weights of the input.
    pub feed_forward: [f64; 3],
    /// Weights of the earlier outputs (the leading one is 1).
    pub feed_back: [f64; 2],
}

/// Two passes multiply their gains, so that each must have 2^(-1/4) at the cut-off for 2^(-1/2) together. A
/// second-order Butterworth filter has that gain at C = (2^(1/2) - 1)^(1/4) of its own cut-off, in the tangent domain.
/// Source: Winter 2009, eq. 3.8-3.9 (0.802 there).
const TWO_PASS_RATIO: f64 = 0.802_243_262_9;

impl Biquad {
    /// The filter that, applied forward and backward, has a gain of exactly 1/sqrt(2) at `cutoff_hz`.
    ///
    /// The correction is applied to `tan(pi f / fs)`; dividing the frequency itself by 0.802 gives a gain of 0.723 at
    /// 6 Hz and 60 frames/s. Source: Winter 2009, section 3.4.4.2.
    #[must_use]
    pub fn zero_lag(cutoff_hz: f64, rate_hz: f64) -> Self {
        Self::from_warped((std::f64::consts::PI * cutoff_hz / rate_hz).tan() / TWO_PASS_RATIO)
    }

    /// The filter whose single pass has a gain of 1/sqrt(2) at `cutoff_hz`.
    #[must_use]
    pub fn single_pass(cutoff_hz: f64, rate_hz: f64) -> Self {
        Self::from_warped((std::f64::consts::PI * cutoff_hz / rate_hz).tan())
    }

    fn from_warped(omega: f64) -> Self {
        let k1 = std::f64::consts::SQRT_2 * omega;
        let k2 = omega * omega;
        let b0 = k2 / (1.0 + k1 + k2);
        let a1 = 2.0 * b0 * (1.0 - 1.0 / k2);
        let a2 = (1.0 - k1 + k2) / (1.0 + k1 + k2);
        Self { feed_forward: [b0, 2.0 * b0, b0], feed_back: [a1, a2] }
    }

    /// Gain of one pass at `frequency_hz`.
    #[must_use]
    pub fn gain(&self, frequency_hz: f64, rate_hz: f64) -> f64 {
        let w = std::f64::consts::TAU * frequency_hz / rate_hz;
        let magnitude = |c: [f64; 3]| {
            let re = c[0] + c[1] * w.cos() + c[2] * (2.0 * w).cos();
            let im = c[1] * w.sin() + c[2] * (2.0 * w).sin();
            re.hypot(im)
        };
        magnitude(self.feed_forward) / magnitude([1.0, self.feed_back[0], self.feed_back[1]])
    }

    /// The inner state under a constant input of 1 (transposed direct form).
    #[must_use]
    pub fn steady_state(&self) -> [f64; 2] {
        let gain = (self.feed_forward[0] + self.feed_forward[1] + self.feed_forward[2])
            / (1.0 + self.feed_back[0] + self.feed_back[1]);
        let second = self.feed_forward[2] - self.feed_back[1] * gain;
        [self.feed_forward[1] - self.feed_back[0] * gain + second, second]
    }

    /// Filters forward, then backward: no lag. Both passes start in the steady state of their first sample.
    pub fn filter_both_ways(&self, series: &mut [f64]) {
        self.pass(series.iter_mut());
        self.pass(series.iter_mut().rev());
    }

    fn pass<'a>(&self, mut samples: impl Iterator<Item = &'a mut f64>) {
        let [b0, b1, b2] = self.feed_forward;
        let [a1, a2] = self.feed_back;
        let steady = self.steady_state();
        let step = |x: &mut f64, z: [f64; 2]| {
            let y = b0 * *x + z[0];
            let next = [b1 * *x - a1 * y + z[1], b2 * *x - a2 * y];
            *x = y;
            next
        };
        let Some(first) = samples.next() else { return };
        let start = *first;
        let mut z = step(first, steady.map(|s| s * start));
        for x in samples {
            z = step(x, z);
        }
    }
}

/// Filters a series forward and backward after reflecting it through its end points over `padding` samples.
///
/// The padding is at most one less than the length.
#[must_use]
pub fn low_pass(series: &[f64], filter: &Biquad, padding: usize) -> Vec<f64> {
    let (Some(first), Some(last)) = (series.first(), series.last()) else { return Vec::new() };
    let padding = padding.min(series.len() - 1);
    let mut padded = Vec::with_capacity(series.len() + 2 * padding);
    padded.extend(series.iter().skip(1).take(padding).rev().map(|x| 2.0 * first - x));
    padded.extend_from_slice(series);
    padded.extend(series.iter().rev().skip(1).take(padding).map(|x| 2.0 * last - x));
    filter.filter_both_ways(&mut padded);
    padded.drain(..padding);
    padded.truncate(series.len());
    padded
}

/// Samples to reflect at each end: one period of the cut-off, and at least nine, three times the memory of a
/// second-order filter.
#[must_use]
pub fn default_padding(cutoff_hz: f64, rate_hz: f64) -> usize {
    // Rounding that lifts the ratio just above a whole number must not add a sample.
    ((rate_hz / cutoff_hz - 1e-6).ceil() as usize).max(9)
}

#[cfg(test)]
#[path = "filter_tests.rs"]
mod tests;
