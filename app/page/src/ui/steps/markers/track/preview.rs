//! The preview before the work: tracks one mark of the shoe for a moment.

use super::plan::marker;
use crate::ui::actions::use_actions;
use crate::ui::components::Shared;
use document::session::Trial;
use jobs::{FollowPlan, tryout_plan};
use mechanics::body::Landmark;
use std::rc::Rc;
use yew::prelude::*;

/// The landmarks of the shoe, best first: its own before the ankle above it.
const SHOE: [Landmark; 3] = [Landmark::NearHeel, Landmark::NearToe, Landmark::NearAnkle];

/// The preview of a trial that is not tracked yet: the first mark of the shoe.
fn preview_plan(trial: &Trial) -> Option<FollowPlan> {
    if trial.tracks.values().any(|t| t.followed.is_some()) {
        return None;
    }
    let marker = SHOE.into_iter().find_map(|l| marker(trial, l))?;
    tryout_plan(marker, &trial.times_s())
}

/// Runs the preview, and again when its mark changes.
#[hook]
pub fn use_preview(trial: &Rc<Trial>, is_clip_open: bool) {
    let actions = use_actions();
    let plan = use_memo((Shared(Rc::clone(trial)), is_clip_open), |(trial, is_clip_open)| {
        is_clip_open.then(|| preview_plan(trial)).flatten()
    });
    use_effect_with((trial.id, plan), move |(id, plan)| {
        if let Some(plan) = (**plan).clone() {
            actions.conductor.try_out(*id, plan);
        }
    });
}
