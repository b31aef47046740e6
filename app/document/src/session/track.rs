//! What is known of one landmark through one clip.

use mechanics::space::Pixel;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What a marker is: decides how it is followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MarkerMode {
    /// A sticker of its own contrast.
    Sticker,
    /// Skin or cloth.
    Skin,
}

/// How sure a followed position is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Certainty {
    /// A person put it there.
    Placed,
    /// Seen.
    Seen,
    /// Found, with doubt.
    Doubtful,
    /// Not seen: carried on by its motion and its limb.
    Coasting,
}

/// A landmark in one frame.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct TrackSample {
    /// Where, to a thousandth of a pixel.
    pub at: Pixel,
    /// How sure.
    pub certainty: Certainty,
    /// Probability of being more than 6 px off, to a thousandth.
    pub p_wrong: f64,
}

/// A landmark through a clip. `None` in `samples` is a frame where it is gone or not yet followed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(into = "Columns", try_from = "Columns")]
pub struct Track {
    /// What it is.
    pub mode: MarkerMode,
    /// Where a person put it, by frame.
    pub keyframes: BTreeMap<u32, Pixel>,
    /// One a frame, in display order; the keyframes are among them.
    pub samples: Vec<Option<TrackSample>>,
    /// The first and the last frame that a following has gone over, whether the marker was seen there or not;
    /// none while nothing was followed.
    pub followed: Option<(u32, u32)>,
}

impl TrackSample {
    /// A sample, rounded to what is kept, so that what is saved is what was shown.
    #[must_use]
    pub fn new(at: Pixel, certainty: Certainty, p_wrong: f64) -> Self {
        let thousandth = |v: f64| (v * 1000.0).round() / 1000.0;
        Self {
            at: Pixel { x_px: thousandth(at.x_px), y_px: thousandth(at.y_px) },
            certainty,
            p_wrong: thousandth(p_wrong.clamp(0.0, 1.0)),
        }
    }
}

impl TrackSample {
    /// Where a person put a marker: beyond doubt.
    #[must_use]
    pub fn placed(at: Pixel) -> Self {
        Self { at, certainty: Certainty::Placed, p_wrong: 0.0 }
    }
}

impl Track {
    /// A track of a clip of so many frames with nothing in it.
    #[must_use]
    pub fn empty(mode: MarkerMode, frame_count: u32) -> Self {
        let samples = vec![None; frame_count as usize];
        Self { mode, keyframes: BTreeMap::new(), samples, followed: None }
    }

    /// Remembers that a following went over these frames too.
    pub(super) fn went_over(&mut self, first: u32, last: u32) {
        self.followed = Some(match self.followed {
            Some((from, to)) => (from.min(first), to.max(last)),
            None => (first, last),
        });
    }

    /// The sample of a frame.
    #[must_use]
    pub fn sample(&self, frame: u32) -> Option<TrackSample> {
        self.samples.get(frame as usize).copied().flatten()
    }
}

/// A track as it stands in a file: columns, one letter a frame for the certainty.
#[derive(Clone, Serialize, Deserialize)]
struct Columns {
    mode: MarkerMode,
    keyframes: Vec<(u32, f64, f64)>,
    /// `p`laced, `s`een, `d`oubtful, `c`oasting, `-` gone.
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

/// The frames that were gone over, where a file does not say: those in which more is known than was placed by hand.
fn gone_over(samples: &[Option<TrackSample>]) -> Option<(u32, u32)> {
    let by_hand = |s: &TrackSample| s.certainty == Certainty::Placed;
    samples.iter().flatten().any(|s| !by_hand(s)).then_some(())?;
    let first = samples.iter().position(Option::is_some)?;
    let last = samples.iter().rposition(Option::is_some)?;
    Some((u32::try_from(first).ok()?, u32::try_from(last).ok()?))
}

impl TryFrom<Columns> for Track {
    type Error = String;

    fn try_from(columns: Columns) -> Result<Self, String> {
        let known = columns.x_px.len();
        if columns.y_px.len() != known || columns.p_wrong.len() != known {
            return Err("a track has columns of different lengths".into());
        }
        let mut known = columns.x_px.iter().zip(&columns.y_px).zip(&columns.p_wrong);
        let mut sample = |letter: char| {
            let certainty = match letter {
                'p' => Certainty::Placed,
                's' => Certainty::Seen,
                'd' => Certainty::Doubtful,
                'c' => Certainty::Coasting,
                '-' => return Ok(None),
                other => return Err(format!("a track has the unknown certainty '{other}'")),
            };
            let ((x_px, y_px), p_wrong) =
                known.next().ok_or("a track has fewer positions than frames")?;
            Ok(Some(TrackSample {
                at: Pixel { x_px: *x_px, y_px: *y_px },
                certainty,
                p_wrong: *p_wrong,
            }))
        };
        let samples =
            columns.certainty.chars().map(&mut sample).collect::<Result<Vec<_>, String>>()?;
        if known.next().is_some() {
            return Err("a track has more positions than frames".into());
        }
        Ok(Self {
            followed: columns.followed.or_else(|| gone_over(&samples)),
            mode: columns.mode,
            keyframes: columns
                .keyframes
                .into_iter()
                .map(|(f, x_px, y_px)| (f, Pixel { x_px, y_px }))
                .collect(),
            samples,
        })
    }
}
