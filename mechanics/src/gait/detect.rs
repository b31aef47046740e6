//! Detects contacts and toe-offs from the movement of one leg.
//!
//! Rules and corrections rest on two runners over a force plate at 2.5 m/s, contact taken at 20 N
//! (treadmill data of Fukuchi et al. 2017, PeerJ 5:e3298). For another runner or speed they may be off by some
//! milliseconds, which the standard deviations of the events include.

use super::contacts::contacts;
use super::event::GaitEvent;
use super::series::{Path, Series, acceleration};
use super::toe_offs::toe_offs;
use crate::signal::{Grid, TrackSegment};
use crate::space::Side;

/// The unfiltered tracks of one leg's landmarks.
#[derive(Clone, Copy, Debug)]
pub struct RawLeg<'a> {
    /// Hip.
    pub hip: &'a [TrackSegment],
    /// Knee.
    pub knee: &'a [TrackSegment],
    /// Ankle.
    pub ankle: &'a [TrackSegment],
    /// Heel.
    pub heel: &'a [TrackSegment],
    /// Toe.
    pub toe: &'a [TrackSegment],
}

/// The contacts and toe-offs of one leg, in time order.
#[must_use]
pub fn detect_events(leg: &RawLeg<'_>, side: Side, grid: &Grid) -> Vec<GaitEvent> {
    let smoothed = |track: &[TrackSegment]| Path::smoothed(track, grid);
    let (hip, knee, ankle) = (smoothed(leg.hip), smoothed(leg.knee), smoothed(leg.ankle));
    let (heel, toe) = (smoothed(leg.heel), smoothed(leg.toe));
    let heel_lead_m: Series =
        heel.x_m.iter().zip(&hip.x_m).map(|(heel, hip)| Some((*heel)? - (*hip)?)).collect();
    let accelerations = [acceleration(&heel.y_m, grid), acceleration(&toe.y_m, grid)];
    let mut events = contacts(&heel_lead_m, &accelerations, side, grid);
    let contact_indices: Vec<f64> = events.iter().map(|e| grid.index(e.time_s)).collect();
    let flexion = knee_flexion(&hip, &knee, &ankle);
    events.extend(toe_offs(&flexion, &heel.y_m, &contact_indices, side, grid));
    events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    events
}

fn knee_flexion(hip: &Path, knee: &Path, ankle: &Path) -> Series {
    let position = |path: &Path, i: usize| -> Option<(f64, f64)> {
        Some(((*path.x_m.get(i)?)?, (*path.y_m.get(i)?)?))
    };
    let flexion = |i: usize| -> Option<f64> {
        let (h, k, a) = (position(hip, i)?, position(knee, i)?, position(ankle, i)?);
        let (thigh, shank) = ((k.0 - h.0, k.1 - h.1), (a.0 - k.0, a.1 - k.1));
        let cross = shank.0 * thigh.1 - shank.1 * thigh.0;
        Some(cross.atan2(shank.0 * thigh.0 + shank.1 * thigh.1))
    };
    (0..hip.x_m.len()).map(flexion).collect()
}
