//! Axis ticks at round numbers.

use super::path::PixelRange;
use crate::results::format::number;

/// A mark on an axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Tick {
    /// Its value in the unit of the axis.
    pub value_shown: f64,
    /// Its place along the axis.
    pub at_px: f64,
    /// Its label.
    pub label: String,
}

/// One axis: a linear map from values to pixels.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// The quantity along it, with the unit.
    pub title: String,
    /// Value at `from_px`.
    pub from_shown: f64,
    /// Value at `to_px`.
    pub to_shown: f64,
    /// Start of the axis.
    pub from_px: f64,
    /// End of the axis.
    pub to_px: f64,
    /// Marks at round values.
    pub ticks: Vec<Tick>,
}

impl Axis {
    /// The place of a value along the axis.
    #[must_use]
    pub fn at_px(&self, value: f64) -> f64 {
        let part = (value - self.from_shown) / (self.to_shown - self.from_shown);
        let at_px = self.from_px + part * (self.to_px - self.from_px);
        if at_px.is_finite() { at_px } else { self.from_px }
    }
}

/// An axis over all finite values given, widened to round numbers, with about `wanted` ticks.
///
/// `ends` are the places of the least and the greatest value.
#[must_use]
pub(super) fn axis(title: &str, values: &[f64], ends: PixelRange, wanted: u32) -> Axis {
    let finite = || values.iter().copied().filter(|v| v.is_finite());
    let mut low = finite().fold(f64::INFINITY, f64::min);
    let mut high = finite().fold(f64::NEG_INFINITY, f64::max);
    if !(low.is_finite() && high.is_finite()) {
        (low, high) = (0.0, 1.0);
    }
    if high - low < 1e-9 * high.abs().max(low.abs()).max(1e-3) {
        (low, high) = (low - 0.5 * low.abs().max(1.0), high + 0.5 * high.abs().max(1.0));
    }
    let step = round_step((high - low) / f64::from(wanted.max(1)));
    let (first, last) = ((low / step).floor(), (high / step).ceil());
    let mut axis = Axis {
        title: title.to_owned(),
        from_shown: first * step,
        to_shown: last * step,
        from_px: ends.from_px,
        to_px: ends.to_px,
        ticks: Vec::new(),
    };
    let decimals = (-step.log10().floor()).clamp(0.0, 9.0) as usize;
    let count = (last - first).clamp(1.0, 100.0) as u32;
    axis.ticks = (0..=count)
        .map(|i| {
            let value = (first + f64::from(i)) * step;
            Tick { value_shown: value, at_px: axis.at_px(value), label: number(value, decimals) }
        })
        .collect();
    axis
}

/// The nearest of 1, 2, 5 times a power of ten that is not less.
fn round_step(rough: f64) -> f64 {
    let power = 10_f64.powf(rough.log10().floor());
    // The tolerance keeps a step of exactly 2 from being read as 2.0000001.
    let leading = rough / power - 1e-9;
    let round = [1.0, 2.0, 5.0].into_iter().find(|r| *r >= leading).unwrap_or(10.0);
    round * power
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_numbers_that_enclose_the_values() {
        let axis = axis("J", &[0.0, 23.7], PixelRange { from_px: 0.0, to_px: 100.0 }, 5);
        let labels: Vec<&str> = axis.ticks.iter().map(|t| t.label.as_str()).collect();
        assert_eq!(labels, ["0", "5", "10", "15", "20", "25"]);
        assert_eq!((axis.from_shown, axis.to_shown), (0.0, 25.0));
        assert!((axis.at_px(12.5) - 50.0).abs() < 1e-9);
    }

    #[test]
    fn small_and_negative_values_get_the_decimals_they_need() {
        let axis = axis("m", &[-0.03, 0.04], PixelRange { from_px: 100.0, to_px: 0.0 }, 4);
        let labels: Vec<&str> = axis.ticks.iter().map(|t| t.label.as_str()).collect();
        assert_eq!(labels, ["−0.04", "−0.02", "0.00", "0.02", "0.04"]);
        assert!((axis.at_px(-0.04) - 100.0).abs() < 1e-9);
    }

    #[test]
    fn an_axis_without_two_finite_values_still_has_two_finite_ends() {
        for values in [&[][..], &[0.0], &[5.0, 5.0], &[f64::NAN, f64::INFINITY], &[-1e12, 1e-12]] {
            let axis = axis("", values, PixelRange { from_px: 0.0, to_px: 10.0 }, 5);
            assert!(
                axis.from_shown.is_finite()
                    && axis.to_shown.is_finite()
                    && axis.from_shown < axis.to_shown,
                "{values:?}"
            );
            assert!(axis.ticks.len() >= 2);
            assert!(axis.ticks.iter().all(|t| t.at_px.is_finite()));
        }
    }
}
