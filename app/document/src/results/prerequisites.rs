//! What a trial still needs before it can be computed, each as a sentence with the step in which to correct it.

use super::input::AnalysisInput;
use super::landmark::landmark_name;
use mechanics::Error;
use mechanics::body::Landmark;
use mechanics::limits::{HEIGHT, LEAST_FRAMES, MASS, SPEED};

/// The step of the work in which something is corrected.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WorkStep {
    /// Open a clip, or another.
    Clip,
    /// Scale, vertical, direction, rate, speed, mass.
    Scale,
    /// Place and track markers.
    Markers,
    /// Contacts and toe-offs.
    Strides,
}

/// What an analysis needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Requirement {
    /// Enough frames, with ascending timestamps.
    Frames,
    /// Two ends of the scale.
    Scale,
    /// The distance between them.
    ScaleLength,
    /// A vertical of usable length and direction.
    Vertical,
    /// The running direction.
    Direction,
    /// A possible capture rate.
    FilmedRate,
    /// The runner's mass.
    Mass,
    /// A possible height, or none.
    Height,
    /// A possible speed, or none.
    Speed,
    /// A keyframe of a landmark.
    Placed(Landmark),
    /// A tracked stretch of a landmark.
    Tracked(Landmark),
    /// Usable positions.
    Positions,
    /// Two usable strides.
    Strides,
    /// A possible cut-off, chosen in the Ledger; and whatever else the mechanics refuses.
    Mechanics,
}

impl Requirement {
    /// The step in which it is met.
    #[must_use]
    pub fn step(self) -> WorkStep {
        match self {
            Self::Frames => WorkStep::Clip,
            Self::Scale
            | Self::ScaleLength
            | Self::Vertical
            | Self::Direction
            | Self::FilmedRate
            | Self::Mass
            | Self::Height
            | Self::Speed => WorkStep::Scale,
            Self::Placed(_) | Self::Tracked(_) | Self::Positions => WorkStep::Markers,
            Self::Strides | Self::Mechanics => WorkStep::Strides,
        }
    }
}

/// A requirement that is not met.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// The requirement.
    pub requirement: Requirement,
    /// What is wrong, then what to do.
    pub sentence: String,
}

impl Missing {
    pub(super) fn new(requirement: Requirement, sentence: impl Into<String>) -> Self {
        Self { requirement, sentence: sentence.into() }
    }

    /// The step in which to correct it.
    #[must_use]
    pub fn step(&self) -> WorkStep {
        self.requirement.step()
    }
}

/// What the mechanics refuses.
pub(super) fn of_error(error: &Error) -> Missing {
    let requirement = match error {
        Error::Mass { .. } => Requirement::Mass,
        Error::Height { .. } => Requirement::Height,
        Error::Speed { .. } => Requirement::Speed,
        Error::Scale { .. } => Requirement::Scale,
        Error::Upright { .. } => Requirement::Vertical,
        Error::TooFewFrames { .. } | Error::Times { .. } => Requirement::Frames,
        Error::LandmarkMissing { landmark } => {
            let sentence = format!(
                "{landmark} is not followed long enough anywhere: follow it, or choose a smaller marker set"
            );
            return Missing::new(Requirement::Tracked(*landmark), sentence);
        }
        Error::Length { .. } | Error::Position { .. } | Error::Spread { .. } => {
            Requirement::Positions
        }
        _ => Requirement::Mechanics,
    };
    Missing::new(requirement, error.to_string())
}

/// Every requirement that is not met; empty if the trial can be computed.
pub(super) fn find(input: &AnalysisInput) -> Vec<Missing> {
    let mut found = Vec::new();
    found.extend(in_clip(input));
    found.extend(in_scale(input));
    found.extend(in_vertical(input));
    found.extend(in_direction_and_rate(input));
    found.extend(in_numbers(input));
    found.extend(in_markers(input));
    found
}

fn in_clip(input: &AnalysisInput) -> Option<Missing> {
    let stamps_s = &input.clip.stamps_s;
    let sentence = if stamps_s.len() < LEAST_FRAMES {
        format!("the clip has {} frames: open one with at least two strides", stamps_s.len())
    } else if !stamps_s.iter().all(|s| s.is_finite()) || !stamps_s.is_sorted_by(|a, b| a < b) {
        "the clip's timestamps do not rise from frame to frame: open the file as the camera wrote it"
            .to_owned()
    } else {
        return None;
    };
    Some(Missing::new(Requirement::Frames, sentence))
}

/// Shortest line that has a direction. Chosen: under a pixel its ends cannot be told apart.
const LEAST_LINE_PX: f64 = 1.0;

/// Whether a line of this length has two distinct ends.
fn has_two_ends(length_px: f64) -> bool {
    length_px.is_finite() && length_px >= LEAST_LINE_PX
}

fn in_scale(input: &AnalysisInput) -> Vec<Missing> {
    let Some(scale) = input.calibration.scale else {
        let sentence = "no scale yet: mark two points a known distance apart";
        return vec![Missing::new(Requirement::Scale, sentence)];
    };
    let mut found = Vec::new();
    if !has_two_ends(scale.length_px()) {
        let sentence = "the two ends of the scale are one place: move one of them";
        found.push(Missing::new(Requirement::Scale, sentence));
    }
    if !(scale.length_m.is_finite() && scale.length_m > 0.0) {
        let sentence = "the scale has no length: enter the distance between its two ends";
        found.push(Missing::new(Requirement::ScaleLength, sentence));
    }
    found
}

fn in_vertical(input: &AnalysisInput) -> Option<Missing> {
    let line = input.calibration.vertical.filter(|line| !has_two_ends(line.length_px()));
    let sentence = "the two ends of the vertical are one place: move one of them";
    line.map(|_| Missing::new(Requirement::Vertical, sentence))
}

fn in_direction_and_rate(input: &AnalysisInput) -> Vec<Missing> {
    let mut found = Vec::new();
    if input.calibration.direction.is_none() {
        let sentence =
            "the running direction is not known: choose whether the runner goes left or right";
        found.push(Missing::new(Requirement::Direction, sentence));
    }
    let impossible = |rate_hz: f64| !(rate_hz.is_finite() && rate_hz > 0.0);
    if input.calibration.filmed_rate_hz.is_some_and(impossible) {
        let sentence = "the filmed rate is not above zero: enter the camera's frames per second";
        found.push(Missing::new(Requirement::FilmedRate, sentence));
    }
    found
}

/// Numbers outside `mechanics::limits`, in the mechanics' own sentences.
fn in_numbers(input: &AnalysisInput) -> Vec<Missing> {
    let mut found = Vec::new();
    if input.mass_kg.is_none() {
        let sentence = "the runner's mass is not entered: enter it in kilograms";
        found.push(Missing::new(Requirement::Mass, sentence));
    }
    let mass = input.mass_kg.filter(|kg| !MASS.contains(*kg));
    let height = input.height_m.filter(|m| !HEIGHT.contains(*m));
    let speed = input.speed_m_s.filter(|m_s| !SPEED.contains(*m_s));
    found.extend(mass.map(|mass_kg| of_error(&Error::Mass { mass_kg })));
    found.extend(height.map(|height_m| of_error(&Error::Height { height_m })));
    found.extend(speed.map(|speed_m_s| of_error(&Error::Speed { speed_m_s })));
    found
}

fn in_markers(input: &AnalysisInput) -> Vec<Missing> {
    let landmarks = input.marker_set.landmarks().iter();
    landmarks.filter_map(|landmark| in_marker(input, *landmark)).collect()
}

fn in_marker(input: &AnalysisInput, landmark: Landmark) -> Option<Missing> {
    let name = landmark_name(landmark);
    let track = input.tracks.get(&landmark).filter(|t| !t.keyframes.is_empty());
    let Some(track) = track else {
        let sentence = format!("the {name} is not placed: place it in one frame");
        return Some(Missing::new(Requirement::Placed(landmark), sentence));
    };
    let known = track.samples.iter().flatten().count();
    let frame_count = input.clip.frame_count() as usize;
    // Placed marks alone are no movement, unless there is one in every frame.
    (known <= track.keyframes.len() && known < frame_count).then(|| {
        let sentence = match track.followed {
            None => format!("the {name} is placed but not followed: follow the markers"),
            Some(_) => format!("the {name} was lost at once: place it in more frames"),
        };
        Missing::new(Requirement::Tracked(landmark), sentence)
    })
}
