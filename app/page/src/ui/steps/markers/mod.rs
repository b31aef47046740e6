//! The step Markers: place the joints in one frame, watch the tracker follow them, review the stretches in doubt.

mod new_mark;
mod overlay;
mod place;
mod review;
mod track;

use super::clip_picture::ask_for_clip;
use super::props::{ResultProps, StepProps};
use crate::ui::actions::use_actions;
use crate::ui::components::{Shared, StepScreen};
use crate::ui::sentences;
use crate::ui::stage::{Stage, Transport};
use crate::ui::store::Step;
use document::results::doubt::doubts;
use document::session::Trial;
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use overlay::{Overlay, doubt_strip};
use place::{Drag, GuidePanel, MarkKeys, PLACE_LABEL, drag_gestures, place_mark};
use std::rc::Rc;
use track::{TrackPanel, use_preview};
use yew::prelude::*;

/// The step.
#[component]
pub fn MarkersStep(props: &ResultProps) -> Html {
    let (result, step) = (&props.result, &props.step);
    let trial = &step.trial;
    // Computed again when marks or numbers change, not for every frame.
    let doubts = use_memo((Shared(Rc::clone(trial)), result.clone()), |(trial, result)| {
        doubts(trial, (**result).as_ref().ok())
    });
    use_preview(trial, step.is_clip_open());
    let chosen = step.view.landmark.or_else(|| trial.next_unplaced());
    let is_tracked = is_tracked(trial);
    let picture = use_picture(step, chosen);
    html! {
        <StepScreen question="Where are the joints?" session={Rc::clone(&step.session)} trial={trial.id} {picture}
            next={Step::Strides} missing={sentences::tracking::missing(trial.next_unplaced().is_some(), is_tracked)}>
            <GuidePanel trial={Rc::clone(trial)} {chosen} frame={step.view.frame} is_clip_open={step.is_clip_open()} />
            <TrackPanel session={Rc::clone(&step.session)} trial={Rc::clone(trial)} jobs={step.jobs.clone()} frame={step.view.frame}
                {doubts} {is_tracked} />
        </StepScreen>
    }
}

/// Whether any marker of the trial was tracked.
fn is_tracked(trial: &Trial) -> bool {
    trial.tracks.values().any(|t| t.followed.is_some())
}

/// The picture, on which marks are placed, with its time line.
#[hook]
fn use_picture(step: &StepProps, chosen: Option<Landmark>) -> Html {
    let actions = use_actions();
    let drag = use_state_eq(|| None::<Drag>);
    let crosshair = use_state_eq(|| None::<Pixel>);
    if !step.is_clip_open() {
        return ask_for_clip(step);
    }
    let trial = &step.trial;
    let on_place = place_mark(&actions, trial, chosen);
    let mark = chosen.and_then(|l| trial.tracks.get(&l)?.sample(step.view.frame)).map(|s| s.at);
    let tracking = step.jobs.following.as_ref().filter(|f| f.trial == trial.id);
    let frame = tracking.map_or(step.view.frame, |f| f.frame);
    let overlay = Overlay {
        trial: Rc::clone(trial),
        chosen,
        drag: *drag,
        crosshair: (*crosshair).filter(|_| mark.is_none()),
        live: tracking.map(|f| f.latest.clone()),
    };
    let gestures = drag_gestures(&actions, trial, chosen, &drag, on_place.clone());
    let key_mark = mark.or(*crosshair);
    let keys = MarkKeys {
        trial: Rc::clone(trial),
        frame: step.view.frame,
        chosen,
        mark,
        crosshair,
        on_place,
    };
    html! {
        <>
            <Stage trial={Rc::clone(trial)} {frame} is_live={tracking.is_some()} has_loupe=true overlay={Some(overlay.callback())}
                on_gesture={Some(gestures)} on_key={Some(keys.listener(&actions))} {key_mark} label={PLACE_LABEL} />
            <Transport trial={Rc::clone(trial)} {frame} strip={Some(doubt_strip(trial))} />
        </>
    }
}
