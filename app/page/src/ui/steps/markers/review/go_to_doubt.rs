//! Goes to a stretch in doubt.

use crate::ui::actions::Actions;
use crate::ui::sentences;
use crate::ui::store::ViewChange;
use document::results::doubt::{Doubt, next_doubt};
use document::session::Trial;

/// Goes to the least sure frame of a stretch and chooses its landmark.
pub fn go_to_doubt(actions: &Actions, doubt: &Doubt) {
    actions.change_view(ViewChange::Frame(doubt.worst));
    actions.change_view(ViewChange::Landmark(Some(doubt.landmark)));
}

/// Goes to the next stretch in doubt after a frame.
pub fn go_to_next_doubt(actions: &Actions, trial: &Trial, frame: u32) {
    match next_doubt(trial, frame) {
        Some(doubt) => go_to_doubt(actions, &doubt),
        None => actions.notify(sentences::tracking::NO_DOUBT),
    }
}
