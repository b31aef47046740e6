//! Checks a trial and makes its filtered tracks, events and strides.

use super::{Cutoff, Trial};
use crate::Error;
use crate::body::{BodyModel, Joint, Landmark, Lengths};
use crate::gait::{GaitEvent, LeftOut, LegRuns, Stride, apply_edits, detect, mirrored, strides};
use crate::measures::motion::Tracks;
use crate::signal::{
    self, Biquad, Grid, Residuals, Run, Track, low_pass, residual_cutoff_hz, residuals, runs,
    usual_padding,
};
use crate::space::Side;
use std::collections::BTreeMap;

/// What everything else is computed from.
pub struct Prepared {
    /// Even grid.
    pub grid: Grid,
    /// Unfiltered stretches.
    pub runs: BTreeMap<Landmark, Vec<Run>>,
    /// Cut-off of each landmark.
    pub cutoffs_hz: BTreeMap<Landmark, f64>,
    /// What they were chosen from, where they were.
    pub residuals: BTreeMap<Landmark, Residuals>,
    /// Filtered.
    pub tracks: Tracks,
    /// In time order.
    pub events: Vec<GaitEvent>,
    /// Of the near leg, then of the far one.
    pub strides: Vec<Stride>,
    /// Not usable.
    pub left_out: Vec<LeftOut>,
    /// Whether the far leg is the near one, half a stride later.
    pub mirrored: bool,
}

/// Checks everything that has a range of its own.
pub fn check(trial: &Trial) -> Result<(), Error> {
    let mass_kg = trial.mass_kg;
    if !(15.0..=300.0).contains(&mass_kg) {
        return Err(Error::Mass { mass_kg });
    }
    if let Some(height_m) = trial.height_m.filter(|h| !(0.8..=2.5).contains(h)) {
        return Err(Error::Height { height_m });
    }
    if let Some(speed_m_s) = trial.speed_m_s.filter(|v| !(*v > 0.0 && *v <= 15.0)) {
        return Err(Error::Speed { speed_m_s });
    }
    if let Cutoff::Fixed { cutoff_hz } = trial.cutoff
        && !(1.0..=50.0).contains(&cutoff_hz)
    {
        return Err(Error::Cutoff { cutoff_hz });
    }
    for spread_si in [trial.marker_sd_m, trial.scale_sd_ratio, trial.vertical_sd_rad] {
        if !(spread_si.is_finite() && spread_si >= 0.0) {
            return Err(Error::Spread { spread_si });
        }
    }
    let frames = trial.times_s.len();
    if frames < 10 {
        return Err(Error::TooFewFrames { frames });
    }
    let steps = trial.times_s.iter().zip(trial.times_s.iter().skip(1));
    if let Some(frame) =
        steps.map(|(a, b)| b - a).position(|step| !(step.is_finite() && step > 0.0))
    {
        return Err(Error::Times { frame: frame + 1 });
    }
    for (landmark, points) in &trial.points {
        if points.len() != frames {
            return Err(Error::Length {
                landmark: landmark.in_words(),
                got: points.len(),
                expected: frames,
            });
        }
        let bad = points
            .iter()
            .position(|p| p.is_some_and(|p| !(p.x_m.is_finite() && p.y_m.is_finite())));
        if let Some(frame) = bad {
            return Err(Error::Position { landmark: landmark.in_words(), frame });
        }
    }
    Ok(())
}

impl Prepared {
    /// Filters, finds the events and the strides.
    ///
    /// # Errors
    /// When a landmark that the marker set needs is nowhere known long enough.
    pub fn new(trial: &Trial, given_hz: &BTreeMap<Landmark, f64>) -> Result<Self, Error> {
        let grid = Grid::covering(&trial.times_s)
            .ok_or(Error::TooFewFrames { frames: trial.times_s.len() })?;
        // The far side counts wherever it is given, also beside a set that does not ask for it.
        let in_set = |l: &Landmark| {
            trial.marker_set.landmarks().contains(&Landmark::of(l.joint(), Side::Near))
        };
        let runs: BTreeMap<Landmark, Vec<Run>> = (trial.points.iter())
            .filter(|(l, _)| in_set(l))
            .map(|(l, points)| (*l, runs(&trial.times_s, points, &grid)))
            .collect();
        let residuals = residual_curves(trial, &runs, (&grid, given_hz));
        let cutoffs_hz = cutoffs_hz(trial, &residuals, (&grid, given_hz));
        let cutoff_of = |l: &Landmark| cutoffs_hz.get(l).copied().unwrap_or(8.0);
        let tracks: Tracks =
            runs.iter().map(|(l, r)| (*l, Track::new(r, cutoff_of(l), &grid))).collect();
        for landmark in BodyModel::needed(trial.table, trial.marker_set) {
            if tracks.get(&landmark).is_none_or(Track::is_empty) {
                return Err(Error::LandmarkMissing { landmark: landmark.in_words() });
            }
        }
        let far_is_marked = BodyModel::needed(trial.table, trial.marker_set)
            .iter()
            .filter(|l| l.side() == Some(Side::Near))
            .all(|l| {
                tracks.get(&Landmark::of(l.joint(), Side::Far)).is_some_and(|t| !t.is_empty())
            });
        let mut found = events(trial, &runs, &grid, far_is_marked);
        let (mut used, mut left_out) = strides(&found, Side::Near);
        if far_is_marked {
            let far = strides(&found, Side::Far);
            used.extend(far.0);
            left_out.extend(far.1);
        }
        found.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        Ok(Self {
            grid,
            runs,
            cutoffs_hz,
            residuals,
            tracks,
            events: found,
            strides: used,
            left_out,
            mirrored: !far_is_marked,
        })
    }

    /// Height of the centre of mass at a part of a stride, filtered only lightly, as free fall needs it.
    pub fn light_heights(&self, model: &BodyModel) -> impl Fn(&Stride, f64) -> Option<f64> + use<> {
        // Chosen: a flight lasts some 90 ms; 25 Hz leaves its parabola alone.
        let cutoff_hz = 25.0_f64.min(0.3 * self.grid.rate_hz);
        let weights = Landmark::ALL.into_iter().zip(model.weights()).filter(|(_, w)| *w != 0.0);
        let mirrored = self.mirrored;
        let later = |l: Landmark| mirrored && l.side() == Some(Side::Far);
        let seen = |l: Landmark| if later(l) { Landmark::of(l.joint(), Side::Near) } else { l };
        let (far, near): (Vec<_>, Vec<_>) = weights.partition(|(l, _)| later(*l));
        let sum = |of: Vec<(Landmark, f64)>| {
            let of = of.into_iter().map(|(l, weight)| (self.runs.get(&seen(l)), weight));
            weighted_heights_m(of, cutoff_hz, &self.grid)
        };
        let (near_m, far_m, grid) = (sum(near), mirrored.then(|| sum(far)), self.grid);
        let at = move |heights_m: &[f64], stride: &Stride, phase: f64| {
            let index = grid.index(stride.start_s + phase * stride.time_s());
            signal::at(heights_m, index).filter(|h| h.is_finite())
        };
        move |stride, phase| {
            let near = at(&near_m, stride, phase)?;
            let other = if phase < 0.5 { phase + 0.5 } else { phase - 0.5 };
            let far = far_m.as_ref().map_or(Some(0.0), |far_m| at(far_m, stride, other))?;
            Some(near + far)
        }
    }

    /// Usual lengths of the near segments: medians over the clip.
    #[must_use]
    pub fn lengths(&self) -> Lengths {
        let near = |joint| Landmark::of(joint, Side::Near);
        let between = |a: Joint, b: Joint| self.usual_distance_m(near(a), near(b)).unwrap_or(0.0);
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

    fn usual_distance_m(&self, a: Landmark, b: Landmark) -> Option<f64> {
        let (a, b) = (self.tracks.get(&a)?, self.tracks.get(&b)?);
        let mut distances: Vec<f64> = a
            .states()
            .filter_map(|(i, s)| Some((b.sample(i)?.position_m - s.position_m).norm()))
            .collect();
        let middle = distances.len() / 2;
        (!distances.is_empty()).then(|| *distances.select_nth_unstable_by(middle, f64::total_cmp).1)
    }
}

/// The residuals of each landmark whose cut-off is to be chosen, over its longest stretch.
fn residual_curves(
    trial: &Trial,
    all: &BTreeMap<Landmark, Vec<Run>>,
    (grid, given_hz): (&Grid, &BTreeMap<Landmark, f64>),
) -> BTreeMap<Landmark, Residuals> {
    if trial.cutoff != Cutoff::Automatic {
        return BTreeMap::new();
    }
    let curve = |(landmark, runs): (&Landmark, &Vec<Run>)| {
        let longest = runs.iter().max_by_key(|r| r.len())?;
        Some((*landmark, residuals(longest, grid.rate_hz)))
    };
    all.iter().filter(|(l, _)| !given_hz.contains_key(l)).filter_map(curve).collect()
}

/// The cut-off of each landmark: as given, fixed, or chosen from its residuals.
fn cutoffs_hz(
    trial: &Trial,
    residuals: &BTreeMap<Landmark, Residuals>,
    (grid, given_hz): (&Grid, &BTreeMap<Landmark, f64>),
) -> BTreeMap<Landmark, f64> {
    let highest_hz = 0.4 * grid.rate_hz;
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

/// The weighted sum of heights on the grid, each low-passed; no number where one of them is not known.
fn weighted_heights_m<'a>(
    of: impl Iterator<Item = (Option<&'a Vec<Run>>, f64)>,
    cutoff_hz: f64,
    grid: &Grid,
) -> Vec<f64> {
    let filter = Biquad::zero_lag(cutoff_hz, grid.rate_hz);
    let padding = usual_padding(cutoff_hz, grid.rate_hz);
    let mut sum_m = vec![0.0; grid.count];
    for (runs, weight) in of {
        let mut next = 0;
        for run in runs.map_or(&[][..], Vec::as_slice) {
            sum_m.iter_mut().take(run.first).skip(next).for_each(|h| *h = f64::NAN);
            let heights = low_pass(&run.y_m, &filter, padding);
            let places = sum_m.iter_mut().skip(run.first);
            places.zip(heights).for_each(|(sum, height)| *sum += weight * height);
            next = run.first + run.len();
        }
        sum_m.iter_mut().skip(next).for_each(|h| *h = f64::NAN);
    }
    sum_m
}

fn events(
    trial: &Trial,
    runs: &BTreeMap<Landmark, Vec<Run>>,
    grid: &Grid,
    far_is_marked: bool,
) -> Vec<GaitEvent> {
    let of_leg = |side: Side| {
        let run = |joint| runs.get(&Landmark::of(joint, side)).map_or(&[][..], Vec::as_slice);
        let leg = LegRuns {
            hip: run(Joint::Hip),
            knee: run(Joint::Knee),
            ankle: run(Joint::Ankle),
            heel: run(Joint::Heel),
            toe: run(Joint::Toe),
        };
        let mut events = detect(&leg, side, grid);
        apply_edits(&mut events, &trial.event_edits, side, grid);
        events
    };
    let mut all = of_leg(Side::Near);
    let far = if far_is_marked { of_leg(Side::Far) } else { mirrored(&all, grid) };
    all.extend(far);
    all
}
