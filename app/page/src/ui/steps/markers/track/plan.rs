//! Plans of what to track: a whole clip, or the stretch that a correction touches.

use crate::ui::actions::Actions;
use crate::ui::steps::markers::new_mark::NewMark;
use document::session::Trial;
use jobs::{Correction, FollowMarker, FollowPlan};
use mechanics::body::Landmark;

/// Every landmark that has a mark, over the whole clip; none if no landmark has.
#[must_use]
pub fn whole_plan(trial: &Trial) -> Option<FollowPlan> {
    let markers: Vec<FollowMarker> =
        trial.marker_set.landmarks().iter().filter_map(|l| marker(trial, *l)).collect();
    let last = trial.clip.info.frame_count().checked_sub(1)?;
    (!markers.is_empty()).then_some(FollowPlan { first: 0, last, markers, correction: None })
}

/// A landmark as it is to be tracked; none if it has no mark.
#[must_use]
pub fn marker(trial: &Trial, landmark: Landmark) -> Option<FollowMarker> {
    let track = trial.tracks.get(&landmark).filter(|t| !t.keyframes.is_empty())?;
    let keyframes = track.keyframes.iter().map(|(f, p)| (*f, *p)).collect();
    Some(FollowMarker { landmark, mode: track.mode, keyframes })
}

/// Tracks again around a corrected mark: from the mark outwards to the neighbouring keyframes, until it meets the old
/// track. Nothing for a landmark that was not tracked yet.
pub fn track_correction(actions: &Actions, trial: &Trial, mark: NewMark) {
    let NewMark { landmark, frame, at, .. } = mark;
    let Some(track) = trial.tracks.get(&landmark).filter(|t| t.followed.is_some()) else {
        return;
    };
    let mut keyframes = track.keyframes.clone();
    keyframes.insert(frame, at);
    let first = keyframes.range(..frame).next_back().map_or(0, |(f, _)| *f);
    let end = trial.clip.info.frame_count().saturating_sub(1);
    let last = keyframes.range(frame + 1..).next().map_or(end, |(f, _)| *f);
    let keyframes = keyframes.range(first..=last).map(|(f, p)| (*f, *p)).collect();
    let known = track.samples.get(first as usize..=last as usize).unwrap_or_default().to_vec();
    let plan = FollowPlan {
        first,
        last,
        markers: vec![FollowMarker { landmark, mode: track.mode, keyframes }],
        correction: Some(Correction { frame, known }),
    };
    actions.conductor.follow(trial.id, plan, None);
}
