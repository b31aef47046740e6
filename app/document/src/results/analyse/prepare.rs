//! An analysis input prepared for the mechanics: usable positions in metres, with their standard deviation.

use super::plane::Plane;
use crate::results::input::AnalysisInput;
use crate::session::{Certainty, CutoffChoice, MarkerMode, Track, TrackSample, frame_times_s};
use mechanics::analysis::{self, Cutoff, Surface};
use mechanics::space::Point;

/// The trial as the mechanics reads it.
pub(super) fn prepare(input: &AnalysisInput, plane: &Plane) -> analysis::Trial {
    let points = input.marked().map(|(landmark, track)| (landmark, positions(track, plane)));
    let marker_sd_px = marker_sd_px(input.marked().map(|(_, track)| track));
    analysis::Trial {
        times_s: frame_times_s(&input.clip, &input.calibration),
        points: points.collect(),
        marker_set: input.marker_set,
        mass_kg: input.mass_kg.unwrap_or(0.0),
        height_m: input.height_m,
        table: input.table,
        speed_m_s: input.speed_m_s,
        surface: if input.on_belt { Surface::Belt } else { Surface::Ground },
        cutoff: match input.cutoff {
            CutoffChoice::Automatic => Cutoff::Automatic,
            CutoffChoice::Fixed { cutoff_hz } => Cutoff::Fixed { cutoff_hz },
        },
        event_edits: input.event_edits.clone(),
        marker_sd_m: marker_sd_px * plane.metres_per_pixel(),
        scale_sd_ratio: plane.scale_sd_ratio,
        vertical_sd_rad: plane.vertical_sd_rad,
    }
}

/// Whether a position is good enough to compute with.
///
/// Chosen: an extrapolated position is a guess, and a spline over its gap is a better one; a doubtful one counts while
/// it is more likely within 6 px than not. The mechanics bridges short gaps and excludes strides with longer ones.
fn is_usable(sample: &TrackSample) -> bool {
    sample.at.x_px.is_finite()
        && sample.at.y_px.is_finite()
        && match sample.certainty {
            Certainty::Placed | Certainty::Seen => true,
            Certainty::Doubtful => sample.p_wrong < 0.5,
            Certainty::Coasting => false,
        }
}

fn positions(track: &Track, plane: &Plane) -> Vec<Option<Point>> {
    let usable = (0..).zip(&track.samples).map(|(frame, s)| (frame, s.filter(is_usable)));
    usable.map(|(frame, s)| s.map(|s| plane.to_point(frame, s.at))).collect()
}

/// Root mean square, over all usable samples, of the standard deviation of a position.
fn marker_sd_px<'a>(tracks: impl Iterator<Item = &'a Track>) -> f64 {
    let (mut sum_px2, mut count) = (0.0, 0_u32);
    for track in tracks {
        for sample in track.samples.iter().flatten().filter(|s| is_usable(s)) {
            sum_px2 += sample_sd_px(sample, track.mode).powi(2);
            count += 1;
        }
    }
    if count == 0 { 0.0 } else { (sum_px2 / f64::from(count)).sqrt() }
}

/// Standard deviation of a placed mark. Chosen: a pixel, as under the loupe.
const PLACED_SD_PX: f64 = 1.0;
/// Standard deviation of a tracked sticker. Chosen from rendered clips with known positions at 1280×720: the error is
/// 0.11 px (median) and 0.7 px (95th percentile).
const STICKER_SD_PX: f64 = 0.3;
/// Standard deviation of tracked skin or clothing. Chosen from the same clips: about 2 px (median) and 9 px (95th
/// percentile).
const SKIN_SD_PX: f64 = 2.0;
/// Error of a wrong position. Exact: a track's probability of being wrong is that of an error over 6 px.
const WRONG_PX: f64 = 6.0;

/// Standard deviation of one position: √((1 − p) s² + p w²) with the probability p of being wrong, the spread s of a
/// good position and the error w of a wrong one.
fn sample_sd_px(sample: &TrackSample, mode: MarkerMode) -> f64 {
    let good_px = match (sample.certainty, mode) {
        (Certainty::Placed, _) => PLACED_SD_PX,
        (_, MarkerMode::Sticker) => STICKER_SD_PX,
        (_, MarkerMode::Skin) => SKIN_SD_PX,
    };
    let p_wrong = match sample.certainty {
        Certainty::Placed => 0.0,
        _ if sample.p_wrong.is_finite() => sample.p_wrong.clamp(0.0, 1.0),
        _ => 1.0,
    };
    ((1.0 - p_wrong) * good_px * good_px + p_wrong * WRONG_PX * WRONG_PX).sqrt()
}
