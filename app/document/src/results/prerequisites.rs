//! What a trial still lacks before it can be computed, each in a sentence with the step where to mend it.

use crate::session::{Runner, Trial};
use mechanics::Error;
use mechanics::body::Landmark;

/// The step of the work in which something is mended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Open a clip, or another.
    Clip,
    /// Scale, vertical, direction, rate, speed, mass.
    Scale,
    /// Place and follow.
    Markers,
    /// Contacts and toe-offs.
    Strides,
}

/// One thing that is missing or cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// Stable name: `scale`, `scale_length`, `direction`, `mass`, `height`, `speed`, `filmed_rate`, `frames`,
    /// `vertical`, `positions`, `mechanics` (the cut-off, chosen in the Ledger),
    /// `landmark_near_hip`, `followed_near_hip`, `strides`.
    pub key: String,
    /// Where to mend it.
    pub step: Step,
    /// What is wrong, then what to do.
    pub sentence: String,
}

impl Missing {
    pub(super) fn new(key: &str, step: Step, sentence: String) -> Self {
        Self { key: key.to_owned(), step, sentence }
    }
}

/// The name of a landmark in words: `near knee`, `head`.
#[must_use]
pub fn landmark_name(landmark: Landmark) -> String {
    landmark.to_string().trim_start_matches("the ").to_owned()
}

/// The name of a landmark in files: `near_knee`, `head`.
#[must_use]
pub fn landmark_key(landmark: Landmark) -> String {
    // The name it has in session files too.
    serde_json::to_value(landmark)
        .ok()
        .and_then(|name| name.as_str().map(str::to_owned))
        .unwrap_or_default()
}

/// What the mechanics refuses, with the step where to mend it.
pub(super) fn of_error(error: &Error) -> Missing {
    let (key, step) = match error {
        Error::Mass { .. } => ("mass", Step::Scale),
        Error::Height { .. } => ("height", Step::Scale),
        Error::Speed { .. } => ("speed", Step::Scale),
        Error::Scale { .. } => ("scale", Step::Scale),
        Error::Upright { .. } => ("vertical", Step::Scale),
        Error::TooFewFrames { .. } | Error::Times { .. } => ("frames", Step::Clip),
        Error::LandmarkMissing { landmark } => {
            let key = format!("followed_{}", landmark_key(*landmark));
            let sentence = format!(
                "{landmark} is nowhere followed for long enough: follow it, or choose a smaller marker set"
            );
            return Missing::new(&key, Step::Markers, sentence);
        }
        Error::Length { .. } | Error::Position { .. } | Error::Spread { .. } => {
            ("positions", Step::Markers)
        }
        _ => ("mechanics", Step::Strides),
    };
    Missing::new(key, step, error.to_string())
}

/// Everything that must be mended before the trial can be computed; empty when nothing is.
pub(super) fn find(trial: &Trial, runner: &Runner) -> Vec<Missing> {
    let mut found = Vec::new();
    found.extend(in_clip(trial));
    found.extend(in_scale(trial));
    found.extend(in_numbers(trial, runner));
    found.extend(in_markers(trial));
    found
}

fn in_clip(trial: &Trial) -> Option<Missing> {
    let stamps_s = &trial.clip.info.stamps_s;
    let sentence = if stamps_s.len() < 10 {
        format!("the clip has {} frames: open one with at least two strides", stamps_s.len())
    } else if !stamps_s.iter().all(|s| s.is_finite()) || !stamps_s.is_sorted_by(|a, b| a < b) {
        "the clip's time stamps do not rise from frame to frame: open the file as the camera wrote it"
            .to_owned()
    } else {
        return None;
    };
    Some(Missing::new("frames", Step::Clip, sentence))
}

fn in_scale(trial: &Trial) -> Vec<Missing> {
    let calibration = &trial.calibration;
    let mut found = Vec::new();
    let mut say = |key: &str, sentence: &str| {
        found.push(Missing::new(key, Step::Scale, sentence.to_owned()));
    };
    match calibration.scale {
        None => say("scale", "no scale yet: mark two points a known distance apart"),
        Some(scale) => {
            let apart_px = (scale.to.x_px - scale.from.x_px).hypot(scale.to.y_px - scale.from.y_px);
            if !(apart_px.is_finite() && apart_px >= 1.0) {
                say("scale", "the two ends of the scale are one place: move one of them");
            }
            if !(scale.length_m.is_finite() && scale.length_m > 0.0) {
                say("scale_length", "the scale has no length: enter the distance of its two ends");
            }
        }
    }
    if let Some(line) = calibration.vertical {
        let apart_px = (line.to.x_px - line.from.x_px).hypot(line.to.y_px - line.from.y_px);
        if !(apart_px.is_finite() && apart_px >= 1.0) {
            say("vertical", "the two ends of the vertical are one place: move one of them");
        }
    }
    if calibration.direction.is_none() {
        say(
            "direction",
            "the running direction is not known: say whether the runner goes left or right",
        );
    }
    if calibration.filmed_rate_hz.is_some_and(|rate_hz| !(rate_hz.is_finite() && rate_hz > 0.0)) {
        say(
            "filmed_rate",
            "the filmed rate is not above zero: enter the frames a second of the camera",
        );
    }
    found
}

/// Masses that can be a runner's. Chosen: wider than any runner, so that only slips are refused.
const MASS_RANGE_KG: std::ops::RangeInclusive<f64> = 15.0..=300.0;

/// Heights that can be a runner's. Chosen: wider than any runner, so that only slips are refused.
const HEIGHT_RANGE_M: std::ops::RangeInclusive<f64> = 0.5..=2.6;

/// Speeds that can be a runner's. Chosen: the fastest sprints stay below 13 m/s.
const SPEED_RANGE_M_S: std::ops::RangeInclusive<f64> = 0.1..=15.0;

fn in_numbers(trial: &Trial, runner: &Runner) -> Vec<Missing> {
    let mut found = Vec::new();
    let mut say = |key: &str, sentence: String| {
        found.push(Missing::new(key, Step::Scale, sentence));
    };
    match runner.mass_kg {
        None => say("mass", "the runner's mass is not entered: enter it in kilograms".into()),
        Some(kg) if !MASS_RANGE_KG.contains(&kg) => {
            say("mass", "the runner's mass must be from 15 to 300 kg: enter it again".into());
        }
        Some(_) => {}
    }
    if runner.height_m.is_some_and(|m| !HEIGHT_RANGE_M.contains(&m)) {
        say("height", "the runner's height must be from 0.5 to 2.6 m: enter it again".into());
    }
    if trial.conditions.speed_m_s.is_some_and(|v| !SPEED_RANGE_M_S.contains(&v)) {
        say(
            "speed",
            "the speed must be from 0.1 to 15 m/s: enter it again, or leave it empty".into(),
        );
    }
    found
}

fn in_markers(trial: &Trial) -> Vec<Missing> {
    let frame_count = trial.clip.info.frame_count();
    trial
        .marker_set
        .landmarks()
        .iter()
        .filter_map(|landmark| {
            let name = landmark_name(*landmark);
            let key = landmark_key(*landmark);
            let track = trial.tracks.get(landmark).filter(|t| !t.keyframes.is_empty());
            let Some(track) = track else {
                let sentence = format!("the {name} is not placed: place it in one frame");
                return Some(Missing::new(&format!("landmark_{key}"), Step::Markers, sentence));
            };
            let known = track.samples.iter().flatten().count();
            // What a person placed alone is no movement, unless it was placed in every frame.
            (known <= track.keyframes.len() && known < frame_count as usize).then(|| {
                let sentence = match track.followed {
                    None => format!("the {name} is placed but not followed: follow the markers"),
                    Some(_) => format!("the {name} was lost at once: place it in more frames"),
                };
                Missing::new(&format!("followed_{key}"), Step::Markers, sentence)
            })
        })
        .collect()
}
