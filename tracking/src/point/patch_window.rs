//! Windows of a patch: buffers, means and variances of a fit.

use super::algebra::{dot, sum2};
use super::patch::Patch;
use crate::image::Tile;

/// Least variance of a patch, in squared grey levels.
///
/// Chosen: a patch below it is flat, whatever is done.
const LEAST_VARIANCE: f32 = 0.1;
/// Least standard deviation of a window as a divisor, in grey levels.
///
/// Chosen: half a level, the rounding of a byte.
const LEAST_DEVIATION: f32 = 0.5;

/// Buffers of a fit, kept from call to call.
#[derive(Clone, Debug, Default)]
pub struct RigidScratch {
    pub(super) tile: Tile,
    pub(super) window: Vec<f32>,
    pub(super) centred: Vec<f32>,
    pub(super) weighted: [Vec<f32>; 3],
    pub(super) free: [Vec<f32>; 3],
    /// The last fit's differences, in grey levels, in the marker's own axes.
    pub residual: Vec<f32>,
}

/// Leaves a patch's values less their mean in the scratch; returns their variance, `None` if they are flat.
pub(super) fn centre(patch: &Patch, weights: &[f32], scratch: &mut RigidScratch) -> Option<f32> {
    let mean = dot(weights, &patch.values);
    let centred = &mut scratch.centred;
    centred.clear();
    centred.extend(patch.values.iter().map(|v| v - mean));
    let variance = sum2(centred, weights, |v, w| v * v * w);
    (variance > LEAST_VARIANCE).then_some(variance)
}

/// Reads a window; its weighted mean and standard deviation, `None` if it leaves the region.
pub(super) fn mean_and_deviation(
    read: impl FnOnce(&mut Vec<f32>) -> bool,
    weights: &[f32],
    window: &mut Vec<f32>,
) -> Option<(f32, f32)> {
    read(window).then_some(())?;
    let mean = dot(weights, window);
    let variance = sum2(window, weights, |v, w| (v - mean) * (v - mean) * w);
    Some((mean, variance.sqrt().max(LEAST_DEVIATION)))
}
