//! What a session is: a runner, trials, options and notes.

use super::{CameraPath, Track};
use mechanics::body::{Landmark, MarkerSet, Table};
use mechanics::gait::EventEdit;
use mechanics::space::{Direction, Pixel};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Members of a session file that this version does not know: kept and written again, never read.
pub type Unknown = serde_json::Map<String, serde_json::Value>;

/// One sitting with one runner.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Session {
    /// Random name under which it is kept.
    pub id: String,
    /// What a person calls it.
    pub name: String,
    /// Who runs.
    pub runner: Runner,
    /// The ways of running, in the order they were opened; the first two are compared.
    pub trials: Vec<Rc<Trial>>,
    /// How the numbers are computed.
    pub options: Options,
    /// Free words.
    pub notes: String,
    /// What another version wrote beside these.
    #[serde(flatten)]
    pub unknown: Unknown,
}

/// Who runs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Runner {
    /// A name or a code.
    pub label: String,
    /// Body mass; none until entered.
    pub mass_kg: Option<f64>,
    /// Body height; none until entered.
    pub height_m: Option<f64>,
    /// Segment table.
    pub table: Table,
}

/// How the numbers are computed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Options {
    /// Low-pass cut-off.
    pub cutoff: Cutoff,
}

/// How the low-pass cut-off is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "choice", rename_all = "snake_case")]
pub enum Cutoff {
    /// By residual analysis, marker by marker.
    Automatic,
    /// The same for every marker.
    Fixed {
        /// Of the whole zero-lag filter.
        cutoff_hz: f64,
    },
}

/// Names a trial within its session; never used again after a trial is removed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct TrialId(pub u32);

/// One clip of one way of running.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Trial {
    /// Its name within the session.
    pub id: TrialId,
    /// What a person calls this way of running.
    pub name: String,
    /// Which file.
    pub clip: ClipRef,
    /// From pixels to metres and from stamps to seconds.
    pub calibration: Calibration,
    /// How it was run.
    pub conditions: Conditions,
    /// Which landmarks are meant to be marked.
    pub marker_set: MarkerSet,
    /// What is known of each.
    pub tracks: BTreeMap<Landmark, Rc<Track>>,
    /// What the camera did, where a following found that it moved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub camera: Option<Rc<CameraPath>>,
    /// The frames whose picture is that of the one before though others move, where a following found any; in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub repeated: Vec<u32>,
    /// What a person changed about the events found.
    pub event_edits: Vec<EventEdit>,
    /// What another version wrote beside these.
    #[serde(flatten)]
    pub unknown: Unknown,
}

/// A file on the runner's device: how to know it again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ClipRef {
    /// File name.
    pub name: String,
    /// Size.
    pub size_bytes: u64,
    /// SHA-256, in hexadecimal, of the size and the first and last 64 KiB.
    pub fingerprint: String,
    /// What the file says of itself.
    pub info: Rc<ClipInfo>,
}

/// What a clip says of itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ClipInfo {
    /// Width of the upright picture.
    pub width_px: u32,
    /// Height of the upright picture.
    pub height_px: u32,
    /// Codec in plain words and its string, such as `H.264 (avc1.64001f)`.
    pub codec: String,
    /// Quarter turns clockwise from the coded to the upright picture.
    pub rotation_quarter_turns: u8,
    /// Presentation time of each frame in display order, as recorded in the file.
    pub stamps_s: Vec<f64>,
    /// What the file tells of the rate at which it was filmed.
    pub filmed_rate_hz: Option<f64>,
}

/// Chosen: many phones write the rate of the camera into every clip, and keep it to a few parts in a hundred.
const ANOTHER_RATE: f64 = 1.2;

/// From pixels to metres and from stamps to seconds.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Calibration {
    /// Two points and their distance.
    pub scale: Option<Scale>,
    /// What is upright; none means the picture's own vertical.
    pub vertical: Option<Vertical>,
    /// Which way the runner goes; none until said.
    pub direction: Option<Direction>,
    /// Frames a second at which it was filmed, if the file is slow motion.
    pub filmed_rate_hz: Option<f64>,
}

/// Two points a known length apart.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Scale {
    /// One end.
    pub from: Pixel,
    /// The other end.
    pub to: Pixel,
    /// Their distance.
    pub length_m: f64,
    /// The frame in which they were marked; it matters where the camera moves.
    #[serde(default)]
    pub frame: u32,
}

/// A line of known direction.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Vertical {
    /// What the line is.
    pub kind: VerticalKind,
    /// One end.
    pub from: Pixel,
    /// The other end.
    pub to: Pixel,
    /// The frame in which it was marked; it matters where the camera moves.
    #[serde(default)]
    pub frame: u32,
}

/// What a line of known direction is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum VerticalKind {
    /// A plumb line: vertical.
    Plumb,
    /// The ground or the belt: level.
    Ground,
}

/// How a trial was run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Conditions {
    /// Speed of the belt or of the runner; none until entered.
    pub speed_m_s: Option<f64>,
    /// On a belt (else on the ground).
    pub on_belt: bool,
    /// What the runner was asked to do.
    pub cue: String,
    /// What was on the feet.
    pub shoes: String,
}

impl ClipInfo {
    /// Number of frames.
    #[must_use]
    pub fn frame_count(&self) -> u32 {
        u32::try_from(self.stamps_s.len()).unwrap_or(u32::MAX)
    }

    /// Frames a second as recorded in the stamps: one over the median step; none with fewer than two frames.
    #[must_use]
    pub fn stamped_rate_hz(&self) -> Option<f64> {
        let mut steps: Vec<f64> =
            self.stamps_s.windows(2).filter_map(|w| Some(w.get(1)? - w.first()?)).collect();
        steps.sort_by(f64::total_cmp);
        steps.get(steps.len() / 2).filter(|s| **s > 0.0).map(|s| 1.0 / s)
    }

    /// Frames a second at which it was filmed, where the file tells of another rate than its stamps have.
    #[must_use]
    pub fn other_rate_hz(&self) -> Option<f64> {
        let stamped_hz = self.stamped_rate_hz()?;
        let is_other = |hz: &f64| (hz / stamped_hz).max(stamped_hz / hz) > ANOTHER_RATE;
        self.filmed_rate_hz.filter(is_other)
    }
}

impl Trial {
    /// Time of each frame on the corrected clock: the stamps, scaled when the clip is slow motion.
    #[must_use]
    pub fn times_s(&self) -> Vec<f64> {
        let factor = match (self.calibration.filmed_rate_hz, self.clip.info.stamped_rate_hz()) {
            (Some(filmed_hz), Some(stamped_hz)) if filmed_hz > 0.0 => stamped_hz / filmed_hz,
            _ => 1.0,
        };
        self.clip.info.stamps_s.iter().map(|s| s * factor).collect()
    }

    /// Frames per second as filmed: as told by a person, else as stamped.
    #[must_use]
    pub fn rate_hz(&self) -> Option<f64> {
        self.calibration.filmed_rate_hz.or_else(|| self.clip.info.stamped_rate_hz())
    }

    /// The first landmark of the set that has no keyframe yet.
    #[must_use]
    pub fn next_unplaced(&self) -> Option<Landmark> {
        self.marker_set
            .landmarks()
            .iter()
            .copied()
            .find(|l| self.tracks.get(l).is_none_or(|t| t.keyframes.is_empty()))
    }
}

impl Session {
    /// A session with nothing in it.
    #[must_use]
    pub fn empty(id: String) -> Self {
        Self {
            id,
            name: String::new(),
            runner: Runner {
                label: String::new(),
                mass_kg: None,
                height_m: None,
                table: Table::WinterDempster,
            },
            trials: Vec::new(),
            options: Options { cutoff: Cutoff::Automatic },
            notes: String::new(),
            unknown: Unknown::new(),
        }
    }

    /// A name for the next trial: one more than the highest, or, should a file have used the very
    /// highest, the lowest that is not taken.
    #[must_use]
    pub fn next_trial_id(&self) -> TrialId {
        let highest = self.trials.iter().map(|t| t.id.0).max().unwrap_or(0);
        let free = |n: &u32| self.trial(TrialId(*n)).is_none();
        TrialId(highest.checked_add(1).or_else(|| (1..u32::MAX).find(free)).unwrap_or(0))
    }

    /// The trial of this name.
    #[must_use]
    pub fn trial(&self, id: TrialId) -> Option<&Rc<Trial>> {
        self.trials.iter().find(|t| t.id == id)
    }
}
