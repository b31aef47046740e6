//! The track of one landmark through one clip.

use super::invalid::{ColumnError, is_usable};
use mechanics::space::Pixel;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What a marker is: decides how it is tracked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MarkerMode {
    /// A sticker with a pattern of its own.
    Sticker,
    /// Skin or clothing.
    Skin,
}

/// How certain a position is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Certainty {
    /// A person placed it.
    Placed,
    /// Seen.
    Seen,
    /// Found, with doubt.
    Doubtful,
    /// Not seen: extrapolated from its motion and its limb.
    Coasting,
}

/// A landmark in one frame.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct TrackSample {
    /// Position, to a thousandth of a pixel.
    pub at: Pixel,
    /// How certain it is.
    pub certainty: Certainty,
    /// Probability of an error over 6 px, to a thousandth.
    pub p_wrong: f64,
}

/// A landmark through a clip. `None` in `samples` is a frame in which it is out of sight or not tracked yet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(into = "Columns", try_from = "Columns")]
pub struct Track {
    /// What the marker is.
    pub mode: MarkerMode,
    /// Positions that a person placed, by frame.
    pub keyframes: BTreeMap<u32, Pixel>,
    /// One sample a frame, in display order; the keyframes are among them.
    pub samples: Vec<Option<TrackSample>>,
    /// First and last frame that a tracking run covered, whether the marker was seen there or not; none before the
    /// first run.
    pub followed: Option<(u32, u32)>,
}

impl TrackSample {
    /// A sample, rounded as it is saved, so that what is saved is what was shown.
    #[must_use]
    pub fn new(at: Pixel, certainty: Certainty, p_wrong: f64) -> Self {
        let thousandth = |v: f64| (v * 1000.0).round() / 1000.0;
        Self {
            at: Pixel { x_px: thousandth(at.x_px), y_px: thousandth(at.y_px) },
            certainty,
            p_wrong: thousandth(p_wrong.clamp(0.0, 1.0)),
        }
    }

    /// A position that a person placed: certain.
    #[must_use]
    pub fn placed(at: Pixel) -> Self {
        Self { at, certainty: Certainty::Placed, p_wrong: 0.0 }
    }

    /// Whether a session may contain this sample.
    pub(super) fn is_valid(&self) -> bool {
        is_usable(self.at.x_px) && is_usable(self.at.y_px) && (0.0..=1.0).contains(&self.p_wrong)
    }
}

impl Track {
    /// An empty track of a clip with this number of frames.
    #[must_use]
    pub fn empty(mode: MarkerMode, frame_count: u32) -> Self {
        let samples = vec![None; frame_count as usize];
        Self { mode, keyframes: BTreeMap::new(), samples, followed: None }
    }

    /// The sample of a frame.
    #[must_use]
    pub fn sample(&self, frame: u32) -> Option<TrackSample> {
        self.samples.get(frame as usize).copied().flatten()
    }

    /// Extends the range that tracking runs covered.
    pub(super) fn extend_followed(&mut self, first: u32, last: u32) {
        self.followed = Some(match self.followed {
            Some((from, to)) => (from.min(first), to.max(last)),
            None => (first, last),
        });
    }

    /// Places the marker in a frame.
    pub(super) fn place(&mut self, frame: u32, at: Pixel) {
        let sample = TrackSample::new(at, Certainty::Placed, 0.0);
        self.keyframes.insert(frame, sample.at);
        if let Some(slot) = self.samples.get_mut(frame as usize) {
            *slot = Some(sample);
        }
    }

    /// Removes the keyframe of a frame, and its sample with it.
    pub(super) fn forget(&mut self, frame: u32) {
        if self.keyframes.remove(&frame).is_some()
            && let Some(slot) = self.samples.get_mut(frame as usize)
        {
            *slot = None;
        }
    }

    /// Stores a tracked stretch; keyframes stay as a person placed them, invalid positions become gaps.
    pub(super) fn store(&mut self, first: u32, stretch: &[Option<TrackSample>]) {
        let end = self.samples.len().min(first as usize + stretch.len());
        let last = u32::try_from(end).ok().and_then(|n| n.checked_sub(1));
        if let Some(last) = last.filter(|l| *l >= first) {
            self.extend_followed(first, last);
        }
        for (frame, sample) in (first..).zip(stretch) {
            if self.keyframes.contains_key(&frame) {
                continue;
            }
            if let Some(slot) = self.samples.get_mut(frame as usize) {
                *slot = sample.filter(TrackSample::is_valid);
            }
        }
    }
}

/// A track as it is stored in a file: columns, one letter a frame for the certainty.
#[derive(Clone, Serialize, Deserialize)]
struct Columns {
    mode: MarkerMode,
    keyframes: Vec<(u32, f64, f64)>,
    /// `p`laced, `s`een, `d`oubtful, `c`oasting, `-` no sample.
    certainty: String,
    x_px: Vec<f64>,
    y_px: Vec<f64>,
    p_wrong: Vec<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    followed: Option<(u32, u32)>,
}

impl From<Track> for Columns {
    fn from(track: Track) -> Self {
        let letter = |s: &Option<TrackSample>| match s.map(|s| s.certainty) {
            Some(Certainty::Placed) => 'p',
            Some(Certainty::Seen) => 's',
            Some(Certainty::Doubtful) => 'd',
            Some(Certainty::Coasting) => 'c',
            None => '-',
        };
        let known = || track.samples.iter().flatten();
        Self {
            mode: track.mode,
            keyframes: track.keyframes.iter().map(|(f, p)| (*f, p.x_px, p.y_px)).collect(),
            certainty: track.samples.iter().map(letter).collect(),
            x_px: known().map(|s| s.at.x_px).collect(),
            y_px: known().map(|s| s.at.y_px).collect(),
            p_wrong: known().map(|s| s.p_wrong).collect(),
            followed: track.followed,
        }
    }
}

impl Columns {
    /// The certainty of each frame.
    fn certainties(&self) -> Result<Vec<Option<Certainty>>, ColumnError> {
        let certainty = |letter| {
            Ok(Some(match letter {
                'p' => Certainty::Placed,
                's' => Certainty::Seen,
                'd' => Certainty::Doubtful,
                'c' => Certainty::Coasting,
                '-' => return Ok(None),
                other => return Err(ColumnError::UnknownCertainty(other)),
            }))
        };
        self.certainty.chars().map(certainty).collect()
    }

    /// The sample of each frame: every letter but `-` takes the next row of the other columns.
    fn samples(&self) -> Result<Vec<Option<TrackSample>>, ColumnError> {
        let count = self.x_px.len();
        if self.y_px.len() != count || self.p_wrong.len() != count {
            return Err(ColumnError::TrackLengths);
        }
        let mut rows = self.x_px.iter().zip(&self.y_px).zip(&self.p_wrong);
        let mut sample = |certainty: Certainty| {
            let ((x_px, y_px), p_wrong) = rows.next().ok_or(ColumnError::TooFewPositions)?;
            let at = Pixel { x_px: *x_px, y_px: *y_px };
            Ok(TrackSample { at, certainty, p_wrong: *p_wrong })
        };
        let certainties = self.certainties()?.into_iter();
        let samples =
            certainties.map(|c| c.map(&mut sample).transpose()).collect::<Result<_, _>>()?;
        if rows.next().is_some() {
            return Err(ColumnError::TooManyPositions);
        }
        Ok(samples)
    }
}

/// The tracked range, if a file does not state it: the frames with samples, if any of them was not placed by hand.
fn followed_range(samples: &[Option<TrackSample>]) -> Option<(u32, u32)> {
    let by_hand = |s: &TrackSample| s.certainty == Certainty::Placed;
    samples.iter().flatten().any(|s| !by_hand(s)).then_some(())?;
    let first = samples.iter().position(Option::is_some)?;
    let last = samples.iter().rposition(Option::is_some)?;
    Some((u32::try_from(first).ok()?, u32::try_from(last).ok()?))
}

impl TryFrom<Columns> for Track {
    type Error = ColumnError;

    fn try_from(columns: Columns) -> Result<Self, ColumnError> {
        let samples = columns.samples()?;
        let keyframe = |(frame, x_px, y_px)| (frame, Pixel { x_px, y_px });
        Ok(Self {
            followed: columns.followed.or_else(|| followed_range(&samples)),
            mode: columns.mode,
            keyframes: columns.keyframes.into_iter().map(keyframe).collect(),
            samples,
        })
    }
}
