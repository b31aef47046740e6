//! The clock of a clip: timestamps corrected for slow motion.

use super::calibration::ClipCalibration;
use super::clip::ClipInfo;

/// Time of each frame on the corrected clock: timestamp × (timestamp rate / capture rate) in slow motion, otherwise
/// the timestamp itself.
#[must_use]
pub fn frame_times_s(info: &ClipInfo, calibration: &ClipCalibration) -> Vec<f64> {
    let factor = match (calibration.filmed_rate_hz, info.stamped_rate_hz()) {
        (Some(filmed_hz), Some(stamped_hz)) if filmed_hz > 0.0 => stamped_hz / filmed_hz,
        _ => 1.0,
    };
    info.stamps_s.iter().map(|s| s * factor).collect()
}
