//! A trial of the session made ready for the mechanics: the only place where pixels become metres.

use super::missing::{self, Missing, Step};
use crate::session::{
    self, Certainty, MarkerMode, Options, Runner, Scale, Track, TrackSample, VerticalKind,
};
use mechanics::analysis::{self, Analysis, Cutoff, Surface};
use mechanics::body::Landmark;
use mechanics::comparison::{self, Comparison};
use mechanics::gait::GaitEvent;
use mechanics::space::{Direction, Pixel, Point};
use std::collections::BTreeMap;

/// A trial that could be computed.
#[derive(Clone, Debug)]
pub struct Analysed {
    /// What the mechanics was given.
    pub trial: analysis::Trial,
    /// What came out.
    pub analysis: Analysis,
}

impl Analysed {
    fn side(&self) -> comparison::Side<'_> {
        comparison::Side { trial: &self.trial, analysis: &self.analysis }
    }
}

/// Why a trial has no numbers yet.
#[derive(Clone, Debug)]
pub struct Lacking {
    /// What is to be mended, never empty.
    pub missing: Vec<Missing>,
    /// The events that were found all the same, so that they can be shown and moved.
    pub events: Vec<GaitEvent>,
}

/// A trial's numbers, or what is still to be done.
pub type TrialResult = Result<Analysed, Lacking>;

/// Analyses a trial of the session.
///
/// # Errors
/// When something is missing or cannot be; each with the step where to mend it.
pub fn analyse_trial(
    trial: &session::Trial,
    runner: &Runner,
    options: &Options,
) -> Result<Analysed, Lacking> {
    let lacking = |missing: Vec<Missing>| Lacking { missing, events: Vec::new() };
    let missing = missing::find(trial, runner);
    let (Some(plane), true) = (Plane::of(trial), missing.is_empty()) else {
        return Err(lacking(missing));
    };
    let ready = make_ready(trial, runner, options, &plane);
    let analysis = analysis::analyse(&ready).map_err(|error| {
        lacking(vec![Missing::new("mechanics", Step::Strides, error.to_string())])
    })?;
    if analysis.strides.len() < 2 {
        let sentence = too_few_strides(&analysis);
        return Err(Lacking {
            missing: vec![Missing::new("strides", Step::Strides, sentence)],
            events: analysis.events,
        });
    }
    Ok(Analysed { trial: ready, analysis })
}

/// Compares the second trial with the first; repeatable.
#[must_use]
pub fn compare_trials(first: &Analysed, second: &Analysed) -> Comparison {
    comparison::compare(first.side(), second.side(), SEED)
}

/// Seed of the resampling. Chosen: any number does, as long as it stays the same.
const SEED: u64 = 1;

fn too_few_strides(analysis: &Analysis) -> String {
    let found = match analysis.strides.len() {
        0 => "no stride can be used",
        _ => "only one stride can be used",
    };
    let why =
        analysis.left_out.first().map_or(String::new(), |l| format!(" ({})", l.reason.sentence));
    format!(
        "{found}{why}: at least two are needed, so add or move contacts, or follow more of the clip"
    )
}

fn make_ready(
    trial: &session::Trial,
    runner: &Runner,
    options: &Options,
    plane: &Plane,
) -> analysis::Trial {
    let marked =
        || trial.marker_set.landmarks().iter().filter_map(|l| Some((*l, trial.tracks.get(l)?)));
    let points: BTreeMap<Landmark, Vec<Option<Point>>> =
        marked().map(|(landmark, track)| (landmark, positions(track, plane))).collect();
    analysis::Trial {
        times_s: trial.times_s(),
        points,
        marker_set: trial.marker_set,
        mass_kg: runner.mass_kg.unwrap_or(0.0),
        height_m: runner.height_m,
        table: runner.table,
        speed_m_s: trial.conditions.speed_m_s,
        surface: if trial.conditions.on_belt { Surface::Belt } else { Surface::Ground },
        cutoff: match options.cutoff {
            session::Cutoff::Automatic => Cutoff::Automatic,
            session::Cutoff::Fixed { cutoff_hz } => Cutoff::Fixed { cutoff_hz },
        },
        event_edits: trial.event_edits.clone(),
        marker_sd_m: marker_sd_px(marked().map(|(_, track)| &**track)) * plane.m_per_px,
        scale_sd_ratio: plane.scale_sd_ratio,
    }
}

/// Whether a position is good enough to compute with.
///
/// Chosen: one that was carried on unseen is a guess, and a spline over its gap is a better one; one with
/// doubt counts while it is more likely within 6 px than not. The mechanics bridges short gaps and leaves
/// the stride out over longer ones.
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
    track.samples.iter().map(|s| s.filter(is_usable).map(|s| plane.to_point(s.at))).collect()
}

/// Every position of the trial in metres, doubtful ones too; none while scale or direction are missing.
#[must_use]
pub fn metres(trial: &session::Trial) -> Option<BTreeMap<Landmark, Vec<Option<Point>>>> {
    let plane = Plane::of(trial)?;
    let way = |track: &Track| -> Vec<Option<Point>> {
        track.samples.iter().map(|s| s.map(|s| plane.to_point(s.at))).collect()
    };
    Some(trial.tracks.iter().map(|(landmark, track)| (*landmark, way(track))).collect())
}

/// Root mean square over all usable samples of the SD of a position.
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

/// SD of one followed position.
///
/// Chosen from rendered clips with known positions at 1280×720: stickers are found to 0.11 px (median) and
/// 0.7 px (95th percentile), skin and cloth to about 2 px and 9 px; a position with doubt is off by
/// 6 px as often as the follower says.
fn sample_sd_px(sample: &TrackSample, mode: MarkerMode) -> f64 {
    let clean_px = match (sample.certainty, mode) {
        (Certainty::Placed, _) => 1.0,
        (_, MarkerMode::Sticker) => 0.3,
        (_, MarkerMode::Skin) => 2.0,
    };
    let p_wrong = match sample.certainty {
        Certainty::Placed => 0.0,
        _ if sample.p_wrong.is_finite() => sample.p_wrong.clamp(0.0, 1.0),
        _ => 1.0,
    };
    let wrong_px = 6.0_f64;
    ((1.0 - p_wrong) * clean_px * clean_px + p_wrong * wrong_px * wrong_px).sqrt()
}

/// The plane of motion as the picture shows it.
struct Plane {
    m_per_px: f64,
    scale_sd_ratio: f64,
    /// Unit vector of "up" in the picture, y down.
    up: (f64, f64),
    /// Unit vector of "forward" in the picture, y down.
    forward: (f64, f64),
}

/// How far off the end of a scale is placed, SD. Chosen: a pixel, as under the loupe.
const SCALE_END_SD_PX: f64 = 1.0;

impl Plane {
    /// None while scale or direction are missing or cannot be.
    fn of(trial: &session::Trial) -> Option<Self> {
        let Scale { from, to, length_m } = trial.calibration.scale?;
        let length_px = (to.x_px - from.x_px).hypot(to.y_px - from.y_px);
        if !(length_px.is_finite() && length_px > 0.0 && length_m.is_finite() && length_m > 0.0) {
            return None;
        }
        let up = upward(trial);
        let forward = match trial.calibration.direction? {
            Direction::Right => (-up.1, up.0),
            Direction::Left => (up.1, -up.0),
        };
        Some(Self {
            m_per_px: length_m / length_px,
            scale_sd_ratio: SCALE_END_SD_PX * 2.0_f64.sqrt() / length_px,
            up,
            forward,
        })
    }

    fn to_point(&self, at: Pixel) -> Point {
        let along = |axis: (f64, f64)| (at.x_px * axis.0 + at.y_px * axis.1) * self.m_per_px;
        Point { x_m: along(self.forward), y_m: along(self.up) }
    }
}

/// "Up" in the picture, from the plumb line or the ground line, whichever end was placed first.
fn upward(trial: &session::Trial) -> (f64, f64) {
    let picture_up = (0.0, -1.0);
    let Some(line) = trial.calibration.vertical else { return picture_up };
    let (dx_px, dy_px) = (line.to.x_px - line.from.x_px, line.to.y_px - line.from.y_px);
    let length_px = dx_px.hypot(dy_px);
    if !(length_px.is_finite() && length_px > 0.0) {
        return picture_up;
    }
    let (x, y) = match line.kind {
        VerticalKind::Plumb => (dx_px / length_px, dy_px / length_px),
        VerticalKind::Ground => (dy_px / length_px, -dx_px / length_px),
    };
    if y > 0.0 { (-x, -y) } else { (x, y) }
}
