//! The even time grid on which everything is computed.

/// Sample times `start_s + i / rate_hz`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    /// Time of the first sample.
    pub start_s: f64,
    /// Samples per second.
    pub rate_hz: f64,
    /// Number of samples.
    pub count: usize,
}

/// Chosen: containers round time stamps to a millisecond, so that a stamp this close to the grid counts as on it;
/// resampling would turn the rounding into movement.
const ROUNDING_S: f64 = 0.000_75;

/// Chosen: a step longer than this many median steps is a missing frame, not a slow one.
const MISSING_FRAME_RATIO: f64 = 1.5;

impl Grid {
    /// The grid that covers these strictly increasing times; none with fewer than two.
    ///
    /// The rate is one over the mean step; steps longer than one and a half median steps (missing frames) do not
    /// count.
    #[must_use]
    pub fn covering(times_s: &[f64]) -> Option<Self> {
        let (start_s, end_s) = (*times_s.first()?, *times_s.last()?);
        let mut steps_s: Vec<f64> =
            times_s.iter().zip(times_s.iter().skip(1)).map(|(a, b)| b - a).collect();
        let middle = steps_s.len() / 2;
        let (_, median_s, _) = steps_s.select_nth_unstable_by(middle, f64::total_cmp);
        let longest_s = *median_s * MISSING_FRAME_RATIO;
        steps_s.retain(|s| *s <= longest_s);
        let step_s = steps_s.iter().sum::<f64>() / steps_s.len() as f64;
        if !(step_s.is_finite() && step_s > 0.0) {
            return None;
        }
        let count = ((end_s - start_s) / step_s + 1e-6).floor() as usize + 1;
        Some(Self { start_s, rate_hz: 1.0 / step_s, count })
    }

    /// Time of a sample; a fractional index lies between two samples.
    #[must_use]
    pub fn time_s(&self, index: f64) -> f64 {
        self.start_s + index / self.rate_hz
    }

    /// The fractional index of a time; it may lie outside the grid.
    #[must_use]
    pub fn index(&self, time_s: f64) -> f64 {
        (time_s - self.start_s) * self.rate_hz
    }

    /// The sample at this time, up to the rounding of time stamps; none if the time lies between samples.
    #[must_use]
    pub fn exact_index(&self, time_s: f64) -> Option<usize> {
        let index = self.index(time_s).round();
        let near = (self.time_s(index) - time_s).abs() <= ROUNDING_S.min(0.25 / self.rate_hz);
        (near && index >= 0.0 && index < self.count as f64).then_some(index as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_stamps_rounded_to_a_millisecond_lie_on_the_even_grid() {
        let times: Vec<f64> = (0..240).map(|i| (f64::from(i) / 0.12).round() / 1000.0).collect();
        let grid = Grid::covering(&times).unwrap();
        assert!((grid.rate_hz - 120.0).abs() < 0.1, "{grid:?}");
        for (i, t) in times.iter().enumerate() {
            assert_eq!(grid.exact_index(*t), Some(i));
        }
    }

    #[test]
    fn missing_frames_do_not_change_the_rate() {
        let times: Vec<f64> =
            (0..100).filter(|i| !(40..47).contains(i)).map(|i| f64::from(i) / 60.0).collect();
        let grid = Grid::covering(&times).unwrap();
        assert!((grid.rate_hz - 60.0).abs() < 1e-9);
        assert_eq!(grid.count, 100);
    }
}
