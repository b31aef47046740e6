//! The panel for tracking: the preview's result, the button that starts, progress, and the review after.

use super::plan::{marker, whole_plan};
use super::progress::Progress;
use crate::ui::actions::{Actions, use_actions};
use crate::ui::sentences;
use crate::ui::steps::markers::review::ReviewPanel;
use crate::ui::store::{Jobs, Step, ViewChange};
use document::results::doubt::Doubt;
use document::session::{Session, Trial};
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct TrackPanelProps {
    /// The document.
    pub session: Rc<Session>,
    /// The trial.
    pub trial: Rc<Trial>,
    /// The work of the worker.
    pub jobs: Jobs,
    /// The frame at rest.
    pub frame: u32,
    /// The stretches in doubt, worst first.
    pub doubts: Rc<Vec<Doubt>>,
    /// Whether any marker of the trial was tracked.
    pub is_tracked: bool,
}

/// The panel.
#[component]
pub fn TrackPanel(props: &TrackPanelProps) -> Html {
    let actions = use_actions();
    if let Some(tracking) = &props.jobs.following {
        let clip = props.session.trial(tracking.trial).map_or("", |t| t.name.as_str());
        return html! { <Progress clip={clip.to_owned()} tracking={tracking.clone()} /> };
    }
    let (trial, is_tracked) = (&props.trial, props.is_tracked);
    let ready = ready_trials(&props.session, &props.jobs);
    let is_for_both = ready.len() == 2 && !is_tracked;
    let start = {
        let trial = Rc::clone(trial);
        Callback::from(move |_: MouseEvent| {
            if is_for_both {
                track_all(&actions, ready.clone());
            } else if let Some(plan) = whole_plan(&trial) {
                actions.conductor.follow(trial.id, plan, None);
            }
        })
    };
    let is_ready = !is_tracked && trial.next_unplaced().is_none();
    let is_impossible = whole_plan(trial).is_none() || !props.jobs.open.contains_key(&trial.id);
    html! {
        <section class="follow" aria-label="Following">
            if let Some(tryout) = props.jobs.tried.get(&trial.id) && !is_tracked && marker(trial, tryout.landmark).is_some() {
                <p class="advice" role="status">{ sentences::preview::sentence(tryout, trial.rate_hz()) }</p>
            }
            <button class={classes!(is_ready.then_some("ready"))} disabled={is_impossible} onclick={start}>{ sentences::tracking::start(is_for_both, is_tracked) }</button>
            if is_tracked {
                <ReviewPanel trial={Rc::clone(trial)} frame={props.frame} doubts={Rc::clone(&props.doubts)} />
            }
        </section>
    }
}

/// The trials with an open clip in which every landmark has a mark.
fn ready_trials(session: &Session, jobs: &Jobs) -> Vec<Rc<Trial>> {
    let is_ready = |t: &&Rc<Trial>| t.next_unplaced().is_none() && jobs.open.contains_key(&t.id);
    session.trials.iter().filter(is_ready).cloned().collect()
}

/// Tracks one trial after another, then opens the comparison.
fn track_all(actions: &Actions, mut trials: Vec<Rc<Trial>>) {
    if trials.is_empty() {
        actions.go_to(Step::SideBySide);
        return;
    }
    let trial = trials.remove(0);
    let Some(plan) = whole_plan(&trial) else { return };
    actions.change_view(ViewChange::Trial(trial.id));
    let then = {
        let actions = actions.clone();
        Box::new(move || track_all(&actions, trials))
    };
    actions.conductor.follow(trial.id, plan, Some(then));
}
