//! Where the following is not to be trusted: stretches of frames, those first on which the numbers hang most.

use super::analyse::{Analysed, metres_per_pixel};
use super::format::number;
use super::prerequisites::landmark_name;
use crate::session::{Certainty, Track, TrackSample, Trial};
use mechanics::analysis::{Displacement, Sensitivity, sensitivity};
use mechanics::body::Landmark;
use std::cmp::Ordering;

/// Why a stretch is doubtful.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// Found, but the picture leaves doubt.
    Unsure,
    /// Hidden: carried on by its motion and its limb.
    Hidden,
    /// Gone.
    Lost,
}

/// A run of frames in which one landmark is not sure.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// Which.
    pub landmark: Landmark,
    /// First frame of it.
    pub first: u32,
    /// Last frame of it.
    pub last: u32,
    /// The frame where a correction helps most: the least sure one.
    pub worst: u32,
    /// Greatest probability of being more than 6 px off; 1 where it is gone.
    pub p_wrong: f64,
    /// The gravest reason in the stretch.
    pub why: Why,
    /// What hangs on it; none while the trial has no numbers.
    pub at_stake: Option<Sensitivity>,
}

impl Doubt {
    /// How many frames it is long.
    #[must_use]
    pub fn frame_count(&self) -> u32 {
        self.last.saturating_sub(self.first).saturating_add(1)
    }

    /// Whether so little of a stride's work hangs on it that it rounds to 0.0 J.
    #[must_use]
    pub fn is_slight(&self) -> bool {
        matches!(self.at_stake, Some(Sensitivity::WorkChange(work_j)) if work_j < 0.05)
    }

    /// In a sentence: `near ankle hidden, frames 41–54`. Frames are counted from one, as under the picture.
    #[must_use]
    pub fn sentence(&self) -> String {
        let name = landmark_name(self.landmark);
        let why = match self.why {
            Why::Unsure => "unsure",
            Why::Hidden => "hidden",
            Why::Lost => "lost",
        };
        let frames = match (self.first + 1, self.last + 1) {
            (first, last) if first == last => format!("frame {first}"),
            (first, last) => format!("frames {first}–{last}"),
        };
        let stake = match self.at_stake {
            None => String::new(),
            Some(Sensitivity::ExcludedStride) => ": a stride is left out".to_owned(),
            Some(_) if self.is_slight() => ": under 0.1 J a stride".to_owned(),
            Some(Sensitivity::WorkChange(work_j)) => {
                format!(": some {} J a stride", number(work_j, 1))
            }
        };
        format!("{name} {why}, {frames}{stake}")
    }
}

/// Sure frames between two stretches that are still taken as one. Chosen: two frames cannot be seen to be sure.
const BRIDGED: u32 = 2;

/// How far off a marker is that is wrong. Source of the limit: a probability in a track is one of being more than 6 px off.
const WRONG_PX: f64 = 6.0;

/// All doubtful stretches of a trial, the worst first: those in which a stride is left out, then by how much the work of
/// a stride hangs on them, each off by 6 px times its probability of being wrong; without numbers lost before hidden
/// before unsure, then by length.
#[must_use]
pub fn doubts(trial: &Trial, numbers: Option<&Analysed>) -> Vec<Doubt> {
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
            let off_m = WRONG_PX * doubt.p_wrong.clamp(0.0, 1.0) * pixel_m;
            let displacement =
                Displacement { landmark: doubt.landmark, from_s, to_s, peak_m: off_m };
            doubt.at_stake = Some(sensitivity(&numbers.analysis, displacement));
        }
    }
    found.sort_by(|a, b| {
        by_stake(b.at_stake, a.at_stake).then(
            (b.why, b.frame_count())
                .cmp(&(a.why, a.frame_count()))
                .then(b.p_wrong.total_cmp(&a.p_wrong)),
        )
    });
    found
}

fn by_stake(one: Option<Sensitivity>, other: Option<Sensitivity>) -> Ordering {
    let rank = |stake| match stake {
        None => 0.0,
        Some(Sensitivity::WorkChange(work_j)) => work_j,
        Some(Sensitivity::ExcludedStride) => f64::INFINITY,
    };
    rank(one).total_cmp(&rank(other))
}

/// The doubtful stretch to look at after this frame, in order of time; the first one when there is none after.
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
        let Some((why, p_wrong)) = doubt_of(sample.as_ref()) else { continue };
        match found.last_mut().filter(|d| frame - d.last <= BRIDGED + 1) {
            Some(stretch) => {
                stretch.last = frame;
                if (why, p_wrong) > (stretch.why, stretch.p_wrong) {
                    (stretch.worst, stretch.why, stretch.p_wrong) = (frame, why, p_wrong);
                }
            }
            None => found.push(Doubt {
                landmark,
                first: frame,
                last: frame,
                worst: frame,
                p_wrong,
                why,
                at_stake: None,
            }),
        }
    }
    for stretch in found.iter_mut().filter(|d| d.why == Why::Lost) {
        // Every frame of a loss is as bad: the middle mends most.
        stretch.worst = stretch.first + (stretch.last - stretch.first) / 2;
    }
    found
}

fn doubt_of(sample: Option<&TrackSample>) -> Option<(Why, f64)> {
    let Some(sample) = sample else { return Some((Why::Lost, 1.0)) };
    match sample.certainty {
        Certainty::Placed | Certainty::Seen => None,
        Certainty::Doubtful => Some((Why::Unsure, sample.p_wrong)),
        Certainty::Coasting => Some((Why::Hidden, sample.p_wrong)),
    }
}
