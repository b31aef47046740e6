//! Stores a mark that a person placed.

use crate::ui::actions::Actions;
use crate::ui::sentences;
use crate::ui::steps::markers::new_mark::NewMark;
use crate::ui::steps::markers::track::track_correction;
use crate::ui::store::ViewChange;
use document::session::{MarkerMode, Trial, TrialCommand};
use mechanics::body::Landmark;
use std::rc::Rc;
use yew::prelude::*;

/// The mode of the landmark's track; for a new one, the mode last used.
#[must_use]
pub fn mode_for(trial: &Trial, chosen: Option<Landmark>) -> MarkerMode {
    chosen
        .and_then(|l| trial.tracks.get(&l))
        .or_else(|| trial.tracks.values().next_back())
        .map_or(MarkerMode::Sticker, |t| t.mode)
}

/// Places a mark, tracks again what it corrects, and goes on to the next landmark after the first mark of this one.
pub fn place_mark(
    actions: &Actions,
    trial: &Rc<Trial>,
    chosen: Option<Landmark>,
) -> Callback<NewMark> {
    let (actions, trial, mode) = (actions.clone(), Rc::clone(trial), mode_for(trial, chosen));
    Callback::from(move |mark: NewMark| {
        let NewMark { landmark, frame, at, glance } = mark;
        // The picture decides how a new mark is tracked; the guide can change it.
        let mode = glance.map_or(mode, |g| g.mode);
        let track = trial.tracks.get(&landmark);
        // A finger misses by some pixels, each time to another side; the arrow keys can leave the middle of a sticker.
        let is_sticker = track.map_or(mode, |t| t.mode) == MarkerMode::Sticker;
        let at = glance.and_then(|g| g.middle).filter(|_| is_sticker).unwrap_or(at);
        if glance.is_some_and(|g| g.is_even) && track.is_none() {
            actions.notify(sentences::landmark::no_texture(landmark));
        }
        actions.change_trial(trial.id, TrialCommand::PlaceMark { landmark, frame, at, mode });
        track_correction(&actions, &trial, NewMark { at, ..mark });
        let is_first = track.is_none_or(|t| t.keyframes.is_empty());
        actions.change_view(ViewChange::Landmark((!is_first).then_some(landmark)));
    })
}
