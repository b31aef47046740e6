//! Stretches of frames in which tracking is doubtful, those first that affect the numbers most.

use super::analyse::{TrialAnalysis, metres_per_pixel};
use super::format::number;
use super::landmark::landmark_name;
use crate::session::{Certainty, Track, TrackSample, Trial};
use mechanics::analysis::{Displacement, Sensitivity, sensitivity};
use mechanics::body::Landmark;
use std::cmp::Ordering;

/// Why a stretch is doubtful.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DoubtReason {
    /// Found, but the image leaves doubt.
    Unsure,
    /// Hidden: extrapolated from its motion and its limb.
    Hidden,
    /// Out of sight.
    Lost,
}

/// A stretch of frames in which one landmark is not certain.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// The landmark.
    pub landmark: Landmark,
    /// First frame of it.
    pub first: u32,
    /// Last frame of it.
    pub last: u32,
    /// The frame in which a correction helps most: the least certain one.
    pub worst: u32,
    /// Greatest probability of an error over 6 px; 1 when it is lost.
    pub p_wrong: f64,
    /// The gravest reason in the stretch.
    pub reason: DoubtReason,
    /// What depends on it; none while the trial has no numbers.
    pub sensitivity: Option<Sensitivity>,
}

impl Doubt {
    /// Number of its frames.
    #[must_use]
    pub fn frame_count(&self) -> u32 {
        self.last.saturating_sub(self.first).saturating_add(1)
    }

    /// Whether its effect on the work of a stride rounds to 0.0 J.
    #[must_use]
    pub fn is_slight(&self) -> bool {
        matches!(self.sensitivity, Some(Sensitivity::WorkChange(work_j)) if work_j < 0.05)
    }

    /// A sentence: `near ankle hidden, frames 41–54`. Frames are counted from one, as under the image.
    #[must_use]
    pub fn sentence(&self) -> String {
        let name = landmark_name(self.landmark);
        let reason = match self.reason {
            DoubtReason::Unsure => "unsure",
            DoubtReason::Hidden => "hidden",
            DoubtReason::Lost => "lost",
        };
        let frames = match (self.first + 1, self.last + 1) {
            (first, last) if first == last => format!("frame {first}"),
            (first, last) => format!("frames {first}–{last}"),
        };
        let effect = match self.sensitivity {
            None => String::new(),
            Some(Sensitivity::ExcludedStride) => ": a stride is left out".to_owned(),
            Some(_) if self.is_slight() => ": under 0.1 J a stride".to_owned(),
            Some(Sensitivity::WorkChange(work_j)) => {
                format!(": some {} J a stride", number(work_j, 1))
            }
        };
        format!("{name} {reason}, {frames}{effect}")
    }
}

/// Certain frames between two stretches that still count as one. Chosen: nobody can see that two frames are certain.
const BRIDGED_FRAMES: u32 = 2;

/// Error of a wrong position. Exact: a track's probability of being wrong is that of an error over 6 px.
const WRONG_PX: f64 = 6.0;

/// All doubtful stretches of a trial, the worst first: those in which a stride is left out, then by their effect on the
/// work of a stride, each with an error of 6 px times its probability of being wrong; without numbers, lost before
/// hidden before unsure, then by length.
#[must_use]
pub fn doubts(trial: &Trial, numbers: Option<&TrialAnalysis>) -> Vec<Doubt> {
    let wanted = trial.marker_set.landmarks();
    let mut found: Vec<Doubt> = trial
        .tracks
        .iter()
        .filter(|(landmark, _)| wanted.contains(landmark))
        .flat_map(|(landmark, track)| stretches(*landmark, track))
        .collect();
    if let (Some(numbers), Some(pixel_m)) = (numbers, metres_per_pixel(trial)) {
        let times_s = trial.times_s();
        let time_s = |frame: u32| times_s.get(frame as usize).copied();
        for doubt in &mut found {
            let (Some(from_s), Some(to_s)) = (time_s(doubt.first), time_s(doubt.last)) else {
                continue;
            };
            let peak_m = WRONG_PX * doubt.p_wrong.clamp(0.0, 1.0) * pixel_m;
            let displacement = Displacement { landmark: doubt.landmark, from_s, to_s, peak_m };
            doubt.sensitivity = Some(sensitivity(&numbers.analysis, displacement));
        }
    }
    found.sort_by(|a, b| {
        by_sensitivity(b.sensitivity, a.sensitivity).then(
            (b.reason, b.frame_count())
                .cmp(&(a.reason, a.frame_count()))
                .then(b.p_wrong.total_cmp(&a.p_wrong)),
        )
    });
    found
}

fn by_sensitivity(one: Option<Sensitivity>, other: Option<Sensitivity>) -> Ordering {
    let rank = |sensitivity| match sensitivity {
        None => 0.0,
        Some(Sensitivity::WorkChange(work_j)) => work_j,
        Some(Sensitivity::ExcludedStride) => f64::INFINITY,
    };
    rank(one).total_cmp(&rank(other))
}

/// The next doubtful stretch after this frame, in order of time; the first one if none follows.
#[must_use]
pub fn next_doubt(trial: &Trial, after_frame: u32) -> Option<Doubt> {
    let mut all = doubts(trial, None);
    all.sort_by_key(|d| (d.worst, d.landmark));
    all.iter().find(|d| d.worst > after_frame).or(all.first()).cloned()
}

fn stretches(landmark: Landmark, track: &Track) -> Vec<Doubt> {
    let mut found: Vec<Doubt> = Vec::new();
    let Some((first, last)) = track.followed else { return found };
    for (frame, sample) in (0..=last).zip(&track.samples).filter(|(frame, _)| *frame >= first) {
        let Some((reason, p_wrong)) = doubt_of(sample.as_ref()) else { continue };
        match found.last_mut().filter(|d| frame - d.last <= BRIDGED_FRAMES + 1) {
            Some(stretch) => {
                stretch.last = frame;
                if (reason, p_wrong) > (stretch.reason, stretch.p_wrong) {
                    (stretch.worst, stretch.reason, stretch.p_wrong) = (frame, reason, p_wrong);
                }
            }
            None => found.push(Doubt {
                landmark,
                first: frame,
                last: frame,
                worst: frame,
                p_wrong,
                reason,
                sensitivity: None,
            }),
        }
    }
    for stretch in found.iter_mut().filter(|d| d.reason == DoubtReason::Lost) {
        // Every frame of a loss is equally bad: a mark in the middle helps most.
        stretch.worst = stretch.first + (stretch.last - stretch.first) / 2;
    }
    found
}

fn doubt_of(sample: Option<&TrackSample>) -> Option<(DoubtReason, f64)> {
    let Some(sample) = sample else { return Some((DoubtReason::Lost, 1.0)) };
    match sample.certainty {
        Certainty::Placed | Certainty::Seen => None,
        Certainty::Doubtful => Some((DoubtReason::Unsure, sample.p_wrong)),
        Certainty::Coasting => Some((DoubtReason::Hidden, sample.p_wrong)),
    }
}
