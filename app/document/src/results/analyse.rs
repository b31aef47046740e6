//! A trial of the session made ready for the mechanics: the only place where pixels become metres.

use super::cache::Pair;
use super::prerequisites::{self, Missing, Step};
use crate::session::{
    self, CameraPath, Certainty, MarkerMode, Options, Runner, Scale, Track, TrackSample,
    VerticalKind,
};
use mechanics::analysis::{self, Analysis, Cutoff, SlowMotion, Surface};
use mechanics::body::Landmark;
use mechanics::calibration::{Calibration, ScaleBar, Upright};
use mechanics::comparison::{
    self, AnalysedTrial, Blend, Comparison, MonteCarlo, SpreadOfDifferences,
};
use mechanics::gait::GaitEvent;
use mechanics::space::{Pixel, Point};
use std::collections::BTreeMap;
use std::rc::Rc;

/// A trial that could be computed.
#[derive(Clone, Debug)]
pub struct Analysed {
    /// What the mechanics was given.
    pub trial: analysis::Trial,
    /// What came out.
    pub analysis: Analysis,
}

impl Analysed {
    fn side(&self) -> AnalysedTrial<'_> {
        AnalysedTrial { trial: &self.trial, analysis: &self.analysis }
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
    let missing = prerequisites::find(trial, runner);
    let (Some(plane), true) = (Plane::of(trial), missing.is_empty()) else {
        return Err(lacking(missing));
    };
    let refused = |error| lacking(vec![prerequisites::of_error(&error)]);
    let ready = make_ready(trial, runner, options, &plane.map_err(refused)?);
    let analysis = analysis::analyse(&ready).map_err(refused)?;
    if analysis.strides.len() < 2 {
        let missing = match analysis::detect_slow_motion(&ready) {
            Some(other) => Missing::new("filmed_rate", Step::Scale, filmed_otherwise(&other)),
            None => Missing::new("strides", Step::Strides, too_few_strides(&analysis)),
        };
        return Err(Lacking { missing: vec![missing], events: analysis.events });
    }
    Ok(Analysed { trial: ready, analysis })
}

/// Both trials with the same cut-offs, as a comparison needs them.
#[must_use]
pub fn alike(first: &Analysed, second: &Analysed) -> (Analysed, Analysed) {
    let both = comparison::with_shared_cutoffs(first.side(), second.side());
    match both {
        Ok(Some((one, other))) => (
            Analysed { trial: first.trial.clone(), analysis: one },
            Analysed { trial: second.trial.clone(), analysis: other },
        ),
        // They have them already; or, which cannot be after both were analysed, one is refused.
        Ok(None) | Err(_) => (first.clone(), second.clone()),
    }
}

/// Compares the second trial with the first; repeatable.
#[must_use]
pub fn compare_trials(first: &Analysed, second: &Analysed) -> Comparison {
    comparison::compare(first.side(), second.side(), SEED)
}

/// The measurement of both, to be repeated with its errors drawn anew.
#[must_use]
pub fn repeats(pair: &Pair) -> MonteCarlo {
    MonteCarlo::new(pair.first.side(), pair.second.side(), SEED, MonteCarlo::DEFAULT_RUNS)
}

/// The comparison with the spread that the repeats found.
#[must_use]
pub fn with_spread(pair: &Pair, spread: &SpreadOfDifferences) -> Pair {
    let comparison = comparison::compare_with(pair.first.side(), pair.second.side(), SEED, spread);
    Pair { comparison, ..pair.clone() }
}

/// The first way's swing led to the second's.
#[must_use]
pub fn blend(pair: &Pair) -> Vec<Blend> {
    comparison::blend(pair.first.side(), pair.second.side())
}

/// Seed of the resampling. Chosen: any number does, as long as it stays the same.
const SEED: u64 = 1;

fn filmed_otherwise(other: &SlowMotion) -> String {
    let SlowMotion { rate_hz, filmed_hz, fall_m_s2 } = other;
    format!(
        "at {rate_hz:.0} frames/s there are no two strides of a runner, and at {filmed_hz:.0} there are: the body then falls \
         with {fall_m_s2:.1} m/s² in flight (9.81 is expected). If it was filmed in slow motion, enter {filmed_hz:.0} as \
         the filmed rate"
    )
}

fn too_few_strides(analysis: &Analysis) -> String {
    let found = match analysis.strides.len() {
        0 => "no stride can be used",
        _ => "only one stride can be used",
    };
    let why = analysis.excluded.first().map_or(String::new(), |l| {
        let reason = l.reason.sentence.trim_end_matches('.');
        format!(", one of those left out for this reason: {reason}")
    });
    format!(
        "{found}{why}. At least two are needed: add or move contacts, or follow more of the clip"
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
        marker_sd_m: marker_sd_px(marked().map(|(_, track)| &**track))
            * plane.calibration.metres_per_pixel(),
        scale_sd_ratio: plane.scale_sd_ratio,
        vertical_sd_rad: plane.vertical_sd_rad,
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
    let usable = (0..).zip(&track.samples).map(|(frame, s)| (frame, s.filter(is_usable)));
    usable.map(|(frame, s)| s.map(|s| plane.to_point(frame, s.at))).collect()
}

/// Every position of the trial in metres, doubtful ones too; none while scale or direction are missing.
#[must_use]
pub fn metres(trial: &session::Trial) -> Option<BTreeMap<Landmark, Vec<Option<Point>>>> {
    let plane = Plane::of(trial)?.ok()?;
    let way = |track: &Track| -> Vec<Option<Point>> {
        let known = (0..).zip(&track.samples);
        known.map(|(frame, s)| s.map(|s| plane.to_point(frame, s.at))).collect()
    };
    Some(trial.tracks.iter().map(|(landmark, track)| (*landmark, way(track))).collect())
}

/// How long a pixel is in the plane of motion; none while scale or direction are missing.
#[must_use]
pub fn metres_per_pixel(trial: &session::Trial) -> Option<f64> {
    Some(Plane::of(trial)?.ok()?.calibration.metres_per_pixel())
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

/// How far off the end of a scale is placed, SD. Chosen: a pixel, as under the loupe.
const SCALE_END_SD_PX: f64 = 1.0;

/// How far a camera on a tripod leans that nobody held to a line, SD. Chosen: 17 mm in a metre, as bubbles on
/// tripod heads are read.
const TRIPOD_SD_RAD: f64 = 0.017;

/// The plane of motion as the picture shows it.
struct Plane {
    calibration: Calibration,
    camera: Option<Rc<CameraPath>>,
    scale_sd_ratio: f64,
    vertical_sd_rad: f64,
}

impl Plane {
    /// None while scale or direction are missing.
    fn of(trial: &session::Trial) -> Option<Result<Self, mechanics::Error>> {
        let drawn = trial.calibration.seen_in(0, trial.camera.as_deref());
        let Scale { from, to, length_m, .. } = drawn.scale?;
        let direction = trial.calibration.direction?;
        let upright = match drawn.vertical {
            None => Upright::Picture,
            Some(v) if v.kind == VerticalKind::Plumb => Upright::Plumb(v.from, v.to),
            Some(v) => Upright::Ground(v.from, v.to),
        };
        let length_px = (to.x_px - from.x_px).hypot(to.y_px - from.y_px);
        let vertical_sd_rad = drawn.vertical.map_or(TRIPOD_SD_RAD, |v| {
            let length_px = (v.to.x_px - v.from.x_px).hypot(v.to.y_px - v.from.y_px);
            SCALE_END_SD_PX * 2.0_f64.sqrt() / length_px.max(1.0)
        });
        let calibration = Calibration::new(ScaleBar { from, to, length_m }, upright, direction);
        Some(calibration.map(|calibration| Self {
            calibration,
            camera: trial.camera.clone(),
            scale_sd_ratio: SCALE_END_SD_PX * 2.0_f64.sqrt() / length_px,
            vertical_sd_rad,
        }))
    }

    /// A place of one frame's picture in the plane of motion, by way of the ground's frame where the camera moved.
    fn to_point(&self, frame: u32, at: Pixel) -> Point {
        let on_ground = self.camera.as_ref().map_or(at, |c| c.pose(frame).to_ground(at));
        self.calibration.to_point(on_ground)
    }
}
