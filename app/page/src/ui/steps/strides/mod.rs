//! The step Strides: when do the feet meet and leave the ground?

mod event_panel;
mod nearest_frame;
mod summary;
mod timeline;

use super::clip_picture::{ask_for_clip, plain_picture};
use super::props::ResultProps;
use crate::ui::actions::use_actions;
use crate::ui::components::{StepScreen, TableView};
use crate::ui::sentences;
use crate::ui::store::{Step, ViewChange};
use document::results::TrialResult;
use document::results::chart::{Strip, strip};
use document::session::TrialCommand;
use event_panel::{AddEvent, EventPanel};
use mechanics::gait::GaitEvent;
use nearest_frame::nearest_frame;
use sentences::strides::{TimelineRows, timeline_key};
use std::rc::Rc;
use summary::Summary;
use timeline::{TIMELINE_WIDTH, Timeline};
use yew::prelude::*;

/// The step.
#[component]
pub fn StridesStep(props: &ResultProps) -> Html {
    let actions = use_actions();
    let chosen = use_state_eq(|| None::<GaitEvent>);
    let step = &props.step;
    let trial = &step.trial;
    let times_s: Rc<[f64]> = trial.times_s().into();
    let strip = Rc::new(strip_of(&props.result, &times_s));
    let frame_s = times_s.get(step.view.frame as usize).copied().unwrap_or(0.0);
    // The chosen event may be gone after an undo.
    let event =
        (*chosen).filter(|c| strip.legs.iter().flat_map(|l| &l.ticks).any(|t| t.event == *c));
    let on_choose = {
        let (chosen, actions, times_s) = (chosen.clone(), actions.clone(), Rc::clone(&times_s));
        Callback::from(move |event: GaitEvent| {
            chosen.set(Some(event));
            actions.change_view(ViewChange::Frame(nearest_frame(&times_s, event.time_s)));
        })
    };
    let on_moved = {
        let chosen = chosen.clone();
        Callback::from(move |event| chosen.set(Some(event)))
    };
    let timeline = html! {
        <>
            <Timeline strip={Rc::clone(&strip)} {frame_s} chosen={event} {on_choose} trial={Rc::clone(trial)} {on_moved} />
            <p class="quiet">{ timeline_key(rows_of(&strip)) }</p>
        </>
    };
    let picture = if step.is_clip_open() {
        plain_picture(step, Some(timeline))
    } else {
        html! { <>{ ask_for_clip(step) }{ timeline }</> }
    };
    let forget_edits = {
        let id = trial.id;
        move |_| actions.change_trial(id, TrialCommand::ForgetEventEdits)
    };
    html! {
        <StepScreen question="When do the feet meet and leave the ground?" session={Rc::clone(&step.session)} trial={trial.id} {picture}
            next={Step::Ledger}>
            <Summary result={props.result.clone()} />
            <EventPanel trial={Rc::clone(trial)} {event} on_changed={move |()| chosen.set(None)} {frame_s} {times_s} />
            <AddEvent trial={trial.id} at_s={frame_s} />
            <details>
                <summary>{ "All contacts and toe-offs" }</summary>
                <TableView table={strip.table.clone()} />
            </details>
            if !trial.event_edits.is_empty() {
                <button onclick={forget_edits}>{ "Back to the events as found" }</button>
            }
        </StepScreen>
    }
}

/// Contacts, toe-offs and strides along the time line.
fn strip_of(result: &TrialResult, times_s: &[f64]) -> Strip {
    match result {
        Ok(done) => {
            let found = &done.analysis;
            strip(times_s, &found.events, &found.strides, &found.excluded, TIMELINE_WIDTH)
        }
        Err(incomplete) => strip(times_s, &incomplete.events, &[], &[], TIMELINE_WIDTH),
    }
}

/// The legs that the time line shows.
fn rows_of(strip: &Strip) -> TimelineRows {
    match strip.legs.as_slice() {
        [_, far] if far.is_mirrored => TimelineRows::FarMirrored,
        [_, _] => TimelineRows::Both,
        _ => TimelineRows::Near,
    }
}
