//! Toe-offs: the straightest knee and the heel's fastest rise after each contact.
//!
//! "Force plate comparison" means the data named in `detect`.

use super::event::{EventKind, EventRule, GaitEvent};
use super::series::{Series, frame_sd_s, value, vertex_offset};
use crate::signal::Grid;
use crate::space::Side;

/// Source: force plate comparison: knee extension peaks 1.0 ms late and 5.3 ms early.
const EXTENSION_TO_TOE_OFF_S: f64 = 0.002;
/// Source: force plate comparison, first runner: the heel rises fastest 19.3 ms before toe-off at 150, 19.9 at 75 and
/// 21.4 at 30 frames/s; a straight line in the frame's length, here its constant part. One leg alone gives 16.5 or
/// 22.1 ms at 150.
const HEEL_RISE_TO_TOE_OFF_S: f64 = 0.019;
/// Source: as [`HEEL_RISE_TO_TOE_OFF_S`], the part that grows with the frame's length.
const HEEL_RISE_TO_TOE_OFF_FRAMES: f64 = 0.08;
/// Chosen: the heel's fastest rise is searched this long before and after the straightest knee.
const HEEL_RISE_REACH_S: f64 = 0.06;
/// Chosen: twice the SD of one instant against the other in the force plate comparison. A heel that is further off
/// belongs to a runner whose constant is not known, and must not outweigh the knee.
const GREATEST_DISAGREEMENT_S: f64 = 0.012;
/// Source: force plate comparison: SD over toe-offs of both runners.
const EXTENSION_SD_S: f64 = 0.008;
/// Source: force plate comparison: SD over the toe-offs of both legs, half-way between knee and heel.
const EXTENSION_AND_RISE_SD_S: f64 = 0.005;
/// Chosen: assumed duration of a last stride that no further contact ends.
const TYPICAL_STRIDE_S: f64 = 0.72;

/// The toe-off after each contact. Contacts are fractional grid indices.
pub fn toe_offs(
    flexion: &Series,
    heel_y_m: &Series,
    contacts: &[f64],
    side: Side,
    grid: &Grid,
) -> Vec<GaitEvent> {
    straightest_knees(flexion, contacts, grid)
        .into_iter()
        .map(|index| toe_off(index, heel_y_m, side, grid))
        .collect()
}

/// Half-way between the instants from the straightest knee and from the heel's fastest rise: they scatter
/// independently, and their middle less than either. If they are far apart, the heel moves the knee's instant by no
/// more than [`GREATEST_DISAGREEMENT_S`] allows.
fn toe_off(straightest: f64, heel_y_m: &Series, side: Side, grid: &Grid) -> GaitEvent {
    let of_knee_s = grid.time_s(straightest) + EXTENSION_TO_TOE_OFF_S;
    let of_heel_s = fastest_rise(straightest, heel_y_m, grid).map(|index| {
        grid.time_s(index) + HEEL_RISE_TO_TOE_OFF_S + HEEL_RISE_TO_TOE_OFF_FRAMES / grid.rate_hz
    });
    let apart_s = of_heel_s.map(|s| s - of_knee_s);
    let most_s = GREATEST_DISAGREEMENT_S;
    let time_s = of_knee_s + 0.5 * apart_s.map_or(0.0, |s| s.clamp(-most_s, most_s));
    let agree = apart_s.is_some_and(|s| s.abs() <= most_s);
    let sd_s = if agree { EXTENSION_AND_RISE_SD_S } else { EXTENSION_SD_S };
    GaitEvent {
        side,
        kind: EventKind::ToeOff,
        time_s,
        sd_s: sd_s.hypot(frame_sd_s(grid)),
        rule: EventRule::KneeExtensionPeak,
    }
}

/// The heel's fastest rise near an index; none if it lies at the end of the search.
fn fastest_rise(near: f64, heel_y_m: &Series, grid: &Grid) -> Option<f64> {
    let reach = HEEL_RISE_REACH_S * grid.rate_hz;
    let rise = |i: usize| Some(value(heel_y_m, i + 1)? - value(heel_y_m, i.checked_sub(1)?)?);
    let within = (near - reach).max(1.0).round() as usize..=(near + reach).round() as usize;
    let (at, fastest) =
        within.filter_map(|i| Some((i, rise(i)?))).max_by(|a, b| a.1.total_cmp(&b.1))?;
    let (before, after) = (rise(at - 1)?, rise(at + 1)?);
    let is_peak = fastest >= before && fastest >= after;
    is_peak.then(|| at as f64 + vertex_offset(before, fastest, after))
}

/// After each contact, the straightest knee before the swing's greatest flexion.
///
/// Chosen: greatest flexion lies between 35 and 95 % of a stride, the straightest knee after 30 % of the way there; less
/// than 0.2 rad between both is no swing.
fn straightest_knees(flexion: &Series, contacts: &[f64], grid: &Grid) -> Vec<f64> {
    let strides: Vec<f64> =
        contacts.iter().zip(contacts.iter().skip(1)).map(|(a, b)| b - a).collect();
    let shortest =
        strides.iter().copied().reduce(f64::min).unwrap_or(TYPICAL_STRIDE_S * grid.rate_hz);
    let straightest = |(index, start): (usize, &f64)| -> Option<f64> {
        let stride = strides.get(index).copied().unwrap_or(shortest).min(1.3 * shortest);
        let within = |from: f64, to: f64| {
            (start + from * stride).round() as usize..=(start + to * stride) as usize
        };
        let (bent_at, bent) = within(0.35, 0.95)
            .filter_map(|i| Some((i, value(flexion, i)?)))
            .max_by(|a, b| a.1.total_cmp(&b.1))?;
        let swing = bent_at as f64 - start;
        let (at, straight) = ((start + 0.3 * swing) as usize..bent_at)
            .filter_map(|i| Some((i, value(flexion, i)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        let (before, after) = (value(flexion, at.checked_sub(1)?)?, value(flexion, at + 1)?);
        let clear = straight <= before && straight <= after && bent - straight > 0.2;
        clear.then(|| at as f64 + vertex_offset(before, straight, after))
    };
    contacts.iter().enumerate().filter_map(straightest).collect()
}
