//! How much of a difference is cadence, how much speed, how much the shape of the movement.

use super::{Side, Split};
use crate::measures::Measure;

/// Splits the difference in internal work per stride into parts that sum to it exactly.
///
/// The first movement replayed at the second's stride time takes `W (T1/T2)^2`, since kinetic energy goes
/// with 1/T^2; at the second's speed and that stride time its reach, and so its energy, goes with
/// `(v2/v1)^2`. What is then left is the shape of the movement. Without both speeds, or where they are the
/// same, the part of the speed is zero.
#[must_use]
pub fn split(first: Side<'_>, second: Side<'_>) -> Option<Split> {
    let mean = |side: Side<'_>, m: Measure| {
        side.analysis.measures.get(&m).map(|e| e.mean_si).filter(|v| v.is_finite() && *v > 0.0)
    };
    let (work_1, work_2) =
        (mean(first, Measure::InternalWork)?, mean(second, Measure::InternalWork)?);
    let (time_1, time_2) = (mean(first, Measure::StrideTime)?, mean(second, Measure::StrideTime)?);
    let speeds = mean(first, Measure::Speed).zip(mean(second, Measure::Speed));
    let speed_ratio = speeds.map_or(1.0, |(v1, v2)| v2 / v1);
    let at_its_time = work_1 * (time_1 / time_2).powi(2);
    let cadence_j = at_its_time - work_1;
    let speed_j = at_its_time * (speed_ratio * speed_ratio - 1.0);
    Some(Split { cadence_j, speed_j, shape_j: work_2 - work_1 - cadence_j - speed_j })
}
