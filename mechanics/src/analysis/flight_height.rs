//! Height of the centre of mass, filtered only lightly, as the check of free fall needs it.

use super::prepare::PreparedTrial;
use crate::body::BodyModel;
use crate::gait::Stride;
use crate::landmark::Landmark;
use crate::signal::{Biquad, Grid, TrackSegment, default_padding, interpolate, low_pass};
use crate::space::Side;

/// Chosen: a flight lasts about 90 ms; 25 Hz does not change its parabola.
const FLIGHT_CUTOFF_HZ: f64 = 25.0;
/// Chosen: at low frame rates the cut-off stays well below half the rate.
const FLIGHT_CUTOFF_RATE_RATIO: f64 = 0.3;

impl PreparedTrial {
    /// The lightly filtered height of the centre of mass as a function of stride and phase, 0 to 1.
    pub fn flight_height_m(
        &self,
        model: &BodyModel,
    ) -> impl Fn(&Stride, f64) -> Option<f64> + use<> {
        let cutoff_hz = FLIGHT_CUTOFF_HZ.min(FLIGHT_CUTOFF_RATE_RATIO * self.grid.rate_hz);
        let weights = Landmark::ALL.into_iter().zip(model.weights()).filter(|(_, w)| *w != 0.0);
        let mirrored = self.mirrored;
        let is_mirrored = |l: Landmark| mirrored && l.side() == Some(Side::Far);
        let marked = |l: Landmark| {
            if is_mirrored(l) { Landmark::of(l.joint(), Side::Near) } else { l }
        };
        let (far, near): (Vec<_>, Vec<_>) = weights.partition(|(l, _)| is_mirrored(*l));
        let sum = |of: Vec<(Landmark, f64)>| {
            let of = of.into_iter().map(|(l, weight)| (self.segments.get(&marked(l)), weight));
            weighted_heights_m(of, cutoff_hz, &self.grid)
        };
        let (near_m, far_m, grid) = (sum(near), mirrored.then(|| sum(far)), self.grid);
        let at = move |heights_m: &[f64], stride: &Stride, phase: f64| {
            let index = grid.index(stride.start_s + phase * stride.time_s());
            interpolate(heights_m, index).filter(|h| h.is_finite())
        };
        move |stride, phase| {
            let near = at(&near_m, stride, phase)?;
            let other = if phase < 0.5 { phase + 0.5 } else { phase - 0.5 };
            let far = far_m.as_ref().map_or(Some(0.0), |far_m| at(far_m, stride, other))?;
            Some(near + far)
        }
    }
}

/// The weighted sum of low-passed heights on the grid; NaN if one of them is unknown.
fn weighted_heights_m<'a>(
    of: impl Iterator<Item = (Option<&'a Vec<TrackSegment>>, f64)>,
    cutoff_hz: f64,
    grid: &Grid,
) -> Vec<f64> {
    let filter = Biquad::zero_lag(cutoff_hz, grid.rate_hz);
    let padding = default_padding(cutoff_hz, grid.rate_hz);
    let mut sum_m = vec![0.0; grid.count];
    for (segments, weight) in of {
        let mut next = 0;
        for segment in segments.map_or(&[][..], Vec::as_slice) {
            sum_m.iter_mut().take(segment.first).skip(next).for_each(|h| *h = f64::NAN);
            let heights = low_pass(&segment.y_m, &filter, padding);
            let sums = sum_m.iter_mut().skip(segment.first);
            sums.zip(heights).for_each(|(sum, height)| *sum += weight * height);
            next = segment.first + segment.len();
        }
        sum_m.iter_mut().skip(next).for_each(|h| *h = f64::NAN);
    }
    sum_m
}
