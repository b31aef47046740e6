//! From a trial to its filtered tracks, events and strides.

use super::trial::Trial;
use crate::body::{BodyModel, Lengths};
use crate::error::Error;
use crate::gait::{
    ExcludedStride, GaitEvent, RawLeg, Stride, apply_edits, detect_events, find_strides,
    mirrored_events,
};
use crate::landmark::{Joint, Landmark};
use crate::measures::motion::Tracks;
use crate::signal::{
    Cutoff, Grid, Residuals, Track, TrackSegment, residual_cutoff_hz, residuals, track_segments,
};
use crate::space::Side;
use std::collections::BTreeMap;

/// Cut-off of a landmark without residuals. Chosen: the middle of the range for running video; only a landmark without
/// any segment gets it.
const FALLBACK_CUTOFF_HZ: f64 = 8.0;

/// Chosen: a cut-off closer to half the frame rate leaves the bilinear design badly conditioned.
const HIGHEST_CUTOFF_RATE_RATIO: f64 = 0.4;

/// Filtered tracks, events and strides: everything else is computed from them.
pub struct PreparedTrial {
    /// The even time grid.
    pub grid: Grid,
    /// Unfiltered tracks.
    pub segments: BTreeMap<Landmark, Vec<TrackSegment>>,
    /// Cut-off of each landmark.
    pub cutoffs_hz: BTreeMap<Landmark, f64>,
    /// Residuals from which cut-offs were chosen.
    pub residuals: BTreeMap<Landmark, Residuals>,
    /// Filtered tracks.
    pub tracks: Tracks,
    /// Events in time order.
    pub events: Vec<GaitEvent>,
    /// Strides of the near leg, then of the far leg.
    pub strides: Vec<Stride>,
    /// Strides that cannot be used.
    pub excluded: Vec<ExcludedStride>,
    /// Whether the far side is the near side half a stride later.
    pub mirrored: bool,
}

impl PreparedTrial {
    /// Filters the tracks, detects the events and finds the strides.
    ///
    /// # Errors
    /// [`Error::LandmarkMissing`] for a landmark that the marker set needs and that has no track.
    pub fn new(trial: &Trial, given_hz: &BTreeMap<Landmark, f64>) -> Result<Self, Error> {
        let grid = Grid::covering(&trial.times_s)
            .ok_or(Error::TooFewFrames { frames: trial.times_s.len() })?;
        // The far side counts whenever it is given, even if the marker set does not include it.
        let in_set = |l: &Landmark| {
            trial.marker_set.landmarks().contains(&Landmark::of(l.joint(), Side::Near))
        };
        let segments: BTreeMap<Landmark, Vec<TrackSegment>> = (trial.points.iter())
            .filter(|(l, _)| in_set(l))
            .map(|(l, points)| (*l, track_segments(&trial.times_s, points, &grid)))
            .collect();
        let residuals = residual_curves(trial, &segments, &grid, given_hz);
        let cutoffs_hz = cutoffs_hz(trial, &residuals, &grid, given_hz);
        let cutoff_of = |l: &Landmark| cutoffs_hz.get(l).copied().unwrap_or(FALLBACK_CUTOFF_HZ);
        let tracks: Tracks =
            segments.iter().map(|(l, s)| (*l, Track::new(s, cutoff_of(l), &grid))).collect();
        for landmark in BodyModel::needed(trial.table, trial.marker_set) {
            if tracks.get(&landmark).is_none_or(Track::is_empty) {
                return Err(Error::LandmarkMissing { landmark });
            }
        }
        let far_is_marked = BodyModel::needed(trial.table, trial.marker_set)
            .iter()
            .filter(|l| l.side() == Some(Side::Near))
            .all(|l| {
                tracks.get(&Landmark::of(l.joint(), Side::Far)).is_some_and(|t| !t.is_empty())
            });
        let mut events = events(trial, &segments, &grid, far_is_marked);
        let (mut strides, mut excluded) = find_strides(&events, Side::Near);
        if far_is_marked {
            let (of_far, excluded_of_far) = find_strides(&events, Side::Far);
            strides.extend(of_far);
            excluded.extend(excluded_of_far);
        }
        events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        Ok(Self {
            grid,
            segments,
            cutoffs_hz,
            residuals,
            tracks,
            events,
            strides,
            excluded,
            mirrored: !far_is_marked,
        })
    }

    /// Lengths of the near segments: medians over the clip.
    #[must_use]
    pub fn lengths(&self) -> Lengths {
        let near = |joint| Landmark::of(joint, Side::Near);
        let between = |a: Joint, b: Joint| self.median_distance_m(near(a), near(b)).unwrap_or(0.0);
        Lengths {
            thigh_m: between(Joint::Hip, Joint::Knee),
            shank_m: between(Joint::Knee, Joint::Ankle),
            foot_m: between(Joint::Ankle, Joint::Toe),
            sole_m: between(Joint::Heel, Joint::Toe),
            trunk_m: between(Joint::Hip, Joint::Shoulder),
            upper_arm_m: between(Joint::Shoulder, Joint::Elbow),
            forearm_m: between(Joint::Elbow, Joint::Wrist),
        }
    }

    fn median_distance_m(&self, a: Landmark, b: Landmark) -> Option<f64> {
        let (a, b) = (self.tracks.get(&a)?, self.tracks.get(&b)?);
        let mut distances: Vec<f64> = a
            .states()
            .filter_map(|(i, s)| Some((b.sample(i)?.position_m - s.position_m).norm()))
            .collect();
        let middle = distances.len() / 2;
        (!distances.is_empty()).then(|| *distances.select_nth_unstable_by(middle, f64::total_cmp).1)
    }
}

/// The residuals of each landmark whose cut-off is to be chosen, over its longest segment.
fn residual_curves(
    trial: &Trial,
    all: &BTreeMap<Landmark, Vec<TrackSegment>>,
    grid: &Grid,
    given_hz: &BTreeMap<Landmark, f64>,
) -> BTreeMap<Landmark, Residuals> {
    if trial.cutoff != Cutoff::Automatic {
        return BTreeMap::new();
    }
    let curve = |(landmark, segments): (&Landmark, &Vec<TrackSegment>)| {
        let longest = segments.iter().max_by_key(|r| r.len())?;
        Some((*landmark, residuals(longest, grid.rate_hz)))
    };
    all.iter().filter(|(l, _)| !given_hz.contains_key(l)).filter_map(curve).collect()
}

/// The cut-off of each landmark: as given, fixed, or chosen from its residuals.
fn cutoffs_hz(
    trial: &Trial,
    residuals: &BTreeMap<Landmark, Residuals>,
    grid: &Grid,
    given_hz: &BTreeMap<Landmark, f64>,
) -> BTreeMap<Landmark, f64> {
    let highest_hz = HIGHEST_CUTOFF_RATE_RATIO * grid.rate_hz;
    let of = |landmark: &Landmark| {
        let given_hz = given_hz.get(landmark).map(|hz| hz.min(highest_hz));
        let own_hz = || match trial.cutoff {
            Cutoff::Fixed { cutoff_hz } => Some(cutoff_hz.min(highest_hz)),
            Cutoff::Automatic => Some(residual_cutoff_hz(residuals.get(landmark)?, grid.rate_hz)),
        };
        given_hz.or_else(own_hz)
    };
    trial.points.keys().filter_map(|l| Some((*l, of(l)?))).collect()
}

/// The events of both legs, with a person's edits; those of an unmarked far leg are mirrored.
fn events(
    trial: &Trial,
    segments: &BTreeMap<Landmark, Vec<TrackSegment>>,
    grid: &Grid,
    far_is_marked: bool,
) -> Vec<GaitEvent> {
    let of_leg = |side: Side| {
        let track = |joint| segments.get(&Landmark::of(joint, side)).map_or(&[][..], Vec::as_slice);
        let leg = RawLeg {
            hip: track(Joint::Hip),
            knee: track(Joint::Knee),
            ankle: track(Joint::Ankle),
            heel: track(Joint::Heel),
            toe: track(Joint::Toe),
        };
        let mut events = detect_events(&leg, side, grid);
        apply_edits(&mut events, &trial.event_edits, side, grid);
        events
    };
    let mut all = of_leg(Side::Near);
    let far = if far_is_marked { of_leg(Side::Far) } else { mirrored_events(&all, grid) };
    all.extend(far);
    all
}
