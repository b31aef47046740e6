//! A following after a correction: it ends where it meets what was known before.

use document::session::{Certainty, TrackSample};
use mechanics::space::Pixel;
use media::Picture;
use serde::{Deserialize, Serialize};
use tracking::image::ImagePoint;
use tracking::track::{Sample, State};

/// A mark that was put right in a track that was followed before.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Correction {
    /// The frame of the new mark.
    pub frame: u32,
    /// What was known of the marker before, from the plan's first frame on.
    pub known: Vec<Option<TrackSample>>,
}

/// Chosen: two ways that are so near to each other and both seen, so many frames running, are one: two marks that
/// a person puts on one joint lie about as far apart. A mark that was moved further keeps its distance, and the
/// whole stretch is followed again.
const ONE_WAY_PX: f64 = 1.5;
/// Chosen: the one fades into the other over these frames, at 120 frames/s by less than 4 cm/s.
const ONE_WAY_FRAMES: u32 = 12;

/// Watches a pass that leads away from the new mark.
#[derive(Clone, Debug)]
pub(super) struct Meeting {
    known: Vec<Option<Sample>>,
    together: u32,
}

impl Meeting {
    /// For what was known, in the coded picture.
    pub(super) fn new(correction: &Correction, picture: &Picture) -> Self {
        let known = correction.known.iter().map(|s| s.map(|s| coded(picture, &s)));
        Self { known: known.collect(), together: 0 }
    }

    /// Forgets what was seen in another pass.
    pub(super) fn begin(&mut self) {
        self.together = 0;
    }

    /// Takes what a pass found, so many frames after the plan's first; true once both ways are one.
    pub(super) fn met(&mut self, at: usize, found: &Sample) -> bool {
        let known = self.known.get(at).copied().flatten();
        let seen = |s: &Sample| matches!(s.state, State::Seen | State::Placed);
        let one = known.is_some_and(|k| {
            seen(&k) && found.state == State::Seen && k.at.distance_px(found.at) <= ONE_WAY_PX
        });
        self.together = if one { self.together + 1 } else { 0 };
        self.together >= ONE_WAY_FRAMES
    }

    /// What was known over these frames after the plan's first, to be blended with what was found there; where
    /// nothing was known it counts for nothing.
    pub(super) fn known_beside(&self, first: usize, found: &[Sample]) -> Vec<Sample> {
        let lost = |f: &Sample| Sample { at: f.at, state: State::Lost, p_wrong: 1.0 };
        let beside = (first..).zip(found);
        beside.map(|(at, f)| self.known.get(at).copied().flatten().unwrap_or(lost(f))).collect()
    }
}

/// A place of the upright picture as the follower knows it.
pub(super) fn to_coded(picture: &Picture, at: Pixel) -> ImagePoint {
    let at = picture.coded_from_upright(at);
    ImagePoint { x_px: at.x_px, y_px: at.y_px }
}

fn coded(picture: &Picture, sample: &TrackSample) -> Sample {
    let state = match sample.certainty {
        Certainty::Placed => State::Placed,
        Certainty::Seen => State::Seen,
        Certainty::Doubtful => State::Doubtful,
        Certainty::Coasting => State::Coasting,
    };
    Sample { at: to_coded(picture, sample.at), state, p_wrong: sample.p_wrong }
}
