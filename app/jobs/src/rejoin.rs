//! After a correction: a pass ends at the frame where it rejoins the old track.

use crate::coordinates::coded_sample;
use crate::tracking_plan::Correction;
use media::Picture;
use tracking::track::{Sample, State};

/// Chosen: two tracks that are this close, both seen, for [`REJOIN_FRAMES`] frames in a row, are one. Two marks that a
/// person puts on one joint are about this far apart. A mark that was moved further keeps its distance, and the whole
/// stretch is tracked again.
const REJOIN_PX: f64 = 1.5;
/// Chosen: one track fades into the other over these frames, at 120 frames/s by less than 4 cm/s.
const REJOIN_FRAMES: u32 = 12;

/// Watches a pass that leads away from the new mark.
#[derive(Clone, Debug)]
pub(crate) struct Rejoin {
    old_track: Vec<Option<Sample>>,
    frames_together: u32,
}

impl Rejoin {
    /// Watches for the old track, in the coded picture.
    pub fn new(correction: &Correction, picture: &Picture) -> Self {
        let old_track = correction.old_track.iter().map(|s| s.map(|s| coded_sample(picture, &s)));
        Self { old_track: old_track.collect(), frames_together: 0 }
    }

    /// Begins a new pass.
    pub fn begin(&mut self) {
        self.frames_together = 0;
    }

    /// Takes a sample of the pass, `at` frames after the plan's first; true once both tracks are one.
    pub fn has_rejoined(&mut self, at: usize, found: &Sample) -> bool {
        let old = self.old_track.get(at).copied().flatten();
        let is_seen = |s: &Sample| matches!(s.state, State::Seen | State::Placed);
        let is_together = old.is_some_and(|old| {
            is_seen(&old) && found.state == State::Seen && old.at.distance_px(found.at) <= REJOIN_PX
        });
        self.frames_together = if is_together { self.frames_together + 1 } else { 0 };
        self.frames_together >= REJOIN_FRAMES
    }

    /// The old track beside these samples, which begin `first` frames after the plan's first. A frame without an old
    /// sample gets a lost one, which has no weight in the blend.
    pub fn old_beside(&self, first: usize, found: &[Sample]) -> Vec<Sample> {
        let lost = |f: &Sample| Sample { at: f.at, state: State::Lost, p_wrong: 1.0 };
        let beside = (first..).zip(found);
        beside.map(|(at, f)| self.old_track.get(at).copied().flatten().unwrap_or(lost(f))).collect()
    }
}
