//! What the page knows of the worker's jobs, and how that changes.

use crate::ui::open_clips::OpenClips;
use document::session::TrialId;
use jobs::Preview;
use jobs::protocol::{JobId, Progress};
use std::collections::BTreeMap;

/// The worker's jobs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Jobs {
    /// The open clips.
    pub clips: OpenClips,
    /// The previews of clips that are not tracked yet.
    pub previews: BTreeMap<TrialId, Preview>,
    /// The tracking run under way.
    pub tracking: Option<TrackingProgress>,
}

/// A tracking run under way.
#[derive(Clone, Debug, PartialEq)]
pub struct TrackingProgress {
    /// Its request.
    pub job: JobId,
    /// The trial.
    pub trial: TrialId,
    /// Time left, once it can be estimated.
    pub left_s: Option<f64>,
    /// How far it has come.
    pub progress: Progress,
}

/// Time left of a run that has done `done` of `total` frames. None in its first second and first twentieth, which take
/// longer because of the start.
#[must_use]
pub fn left_s(spent_s: f64, done: u32, total: u32) -> Option<f64> {
    let is_steady = spent_s >= 1.0 && done.saturating_mul(20) >= total && done > 0;
    is_steady.then(|| spent_s / f64::from(done) * f64::from(total.saturating_sub(done)))
}

/// A change of the worker's jobs.
#[derive(Clone, Debug)]
pub enum JobEvent {
    /// A clip was opened or closed, or is being opened.
    Clips(OpenClips),
    /// Every clip was closed and every job cancelled.
    AllClosed(OpenClips),
    /// A tracking run began or has come further.
    Tracking(TrackingProgress),
    /// The tracking run ended.
    TrackingEnded,
    /// A preview ended.
    Previewed(TrialId, Preview),
}

impl Jobs {
    /// Applies a change.
    pub(super) fn change(&mut self, event: JobEvent) {
        match event {
            JobEvent::Clips(clips) => {
                self.previews.retain(|id, _| clips.is_open(*id));
                self.clips = clips;
            }
            JobEvent::AllClosed(clips) => *self = Jobs { clips, ..Jobs::default() },
            JobEvent::Tracking(progress) => self.tracking = Some(progress),
            JobEvent::TrackingEnded => self.tracking = None,
            JobEvent::Previewed(id, preview) => {
                self.previews.insert(id, preview);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::left_s;

    #[test]
    fn time_left_is_estimated_once_the_first_frames_are_done() {
        assert_eq!(
            (left_s(2.0, 7, 600), left_s(0.5, 100, 600), left_s(5.0, 0, 0)),
            (None, None, None)
        );
        assert_eq!((left_s(2.0, 100, 600), left_s(6.0, 600, 600)), (Some(10.0), Some(0.0)));
    }
}
