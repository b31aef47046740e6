//! The step *Markers*: where are the joints, in one frame and then in all?

mod follow;
mod guide;
mod overlay;
mod touch;

pub use touch::nudge;

use super::StepProps;
use crate::results::doubt::doubts;
use crate::session::TrialCommand;
use crate::ui::hands::use_hands;
use crate::ui::home::AskForClip;
use crate::ui::parts::StepScreen;
use crate::ui::stage::{Gesture, Phase, Stage, Transport};
use crate::ui::store::{Look, Step};
use follow::{FollowPart, follow_touched};
use guide::GuidePart;
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use overlay::{doubt_strip, marks_over};
use std::rc::Rc;
use touch::{Drag, take_hold};
use yew::prelude::*;

/// The step.
#[component]
pub fn MarkersStep(props: &StepProps) -> Html {
    let hands = use_hands();
    let drag = use_state_eq(|| None::<Drag>);
    let trial = &props.trial;
    let chosen = props.view.landmark.or_else(|| trial.next_unplaced());
    let followed =
        trial.tracks.values().any(|t| t.samples.iter().flatten().count() > t.keyframes.len());

    let place = {
        let (hands, trial, mode) =
            (hands.clone(), Rc::clone(trial), guide::mode_for(trial, chosen));
        Callback::from(move |(landmark, frame, at): (Landmark, u32, Pixel)| {
            hands.change(trial.id, TrialCommand::PlaceMark { landmark, frame, at, mode });
            follow_touched(&hands, &trial, landmark, frame, at);
            let first_mark = trial.tracks.get(&landmark).is_none_or(|t| t.keyframes.is_empty());
            hands.look(Look::Landmark(if first_mark { None } else { Some(landmark) }));
        })
    };
    let on_gesture = {
        let (drag, place, trial, hands) =
            (drag.clone(), place.clone(), Rc::clone(trial), hands.clone());
        Callback::from(move |gesture: Gesture| match gesture.phase {
            Phase::Press => {
                hands.conductor.stop();
                drag.set(take_hold(&trial, chosen, gesture));
            }
            Phase::Move => drag.set(drag.map(|d| d.moved(gesture.at))),
            Phase::Release => {
                if let Some(d) = drag.map(|d| d.moved(gesture.at)) {
                    if d.has_moved() {
                        place.emit((d.landmark, d.frame, d.at));
                    } else {
                        hands.look(Look::Landmark(Some(d.landmark)));
                    }
                }
                drag.set(None);
            }
            Phase::Cancel => drag.set(None),
        })
    };
    let at_rest = chosen.and_then(|l| trial.tracks.get(&l)?.sample(props.view.frame)).map(|s| s.at);
    let crosshair = use_state_eq(|| None::<Pixel>);
    let info = &trial.clip.info;
    let middle =
        Pixel { x_px: f64::from(info.width_px) / 2.0, y_px: f64::from(info.height_px) / 2.0 };
    let on_key = {
        let (place, crosshair, hands, trial, frame) =
            (place.clone(), crosshair.clone(), hands.clone(), Rc::clone(trial), props.view.frame);
        Callback::from(move |event: KeyboardEvent| {
            let Some(landmark) = chosen else { return };
            let here = at_rest.or(*crosshair).unwrap_or(middle);
            if let Some((dx, dy)) = nudge(&event) {
                event.prevent_default();
                let at = Pixel { x_px: here.x_px + dx, y_px: here.y_px + dy };
                if at_rest.is_some() {
                    place.emit((landmark, frame, at))
                } else {
                    crosshair.set(Some(at))
                }
            } else if event.key() == "Enter" {
                event.prevent_default();
                place.emit((landmark, frame, here));
            } else if event.key() == "n" {
                follow::go_to_next_doubt(&hands, &trial, frame);
            } else if event.key() == "Delete" {
                hands.change(trial.id, TrialCommand::ForgetMark { landmark, frame });
            }
        })
    };
    let overlay = {
        let (trial, drag, cross) =
            (Rc::clone(trial), *drag, (*crosshair).filter(|_| at_rest.is_none()));
        let live =
            props.jobs.following.as_ref().filter(|f| f.trial == trial.id).map(|f| f.latest.clone());
        Callback::from(move |frame| marks_over(&trial, frame, chosen, drag, cross, live.as_ref()))
    };
    let picture = if props.clip_in_hand() {
        let shown = props
            .jobs
            .following
            .as_ref()
            .filter(|f| f.trial == trial.id)
            .map_or(props.view.frame, |f| f.frame);
        html! {
            <>
                <Stage trial={Rc::clone(trial)} frame={shown} loupe=true overlay={Some(overlay)} on_gesture={Some(on_gesture)}
                    on_key={Some(on_key)} key_mark={at_rest.or(*crosshair)}
                    label="Picture: press to place the named landmark; arrow keys move it by one pixel, with Shift by ten, Enter places it, N goes to the next doubtful stretch" />
                <Transport trial={Rc::clone(trial)} frame={shown} strip={Some(doubt_strip(trial))} />
            </>
        }
    } else {
        html! { <AskForClip trial={Rc::clone(trial)} opening={!props.jobs.opening.is_empty()} /> }
    };
    let missing = match (trial.next_unplaced(), followed) {
        (Some(_), _) => "Some landmarks have no mark yet.",
        (None, false) => "The markers are not followed yet.",
        (None, true) => "",
    };
    html! {
        <StepScreen question="Where are the joints?" session={Rc::clone(&props.session)} trial={trial.id} {picture}
            next={(Step::Strides, AttrValue::from(missing))}>
            <GuidePart trial={Rc::clone(trial)} {chosen} frame={props.view.frame} />
            <FollowPart session={Rc::clone(&props.session)} trial={Rc::clone(trial)} jobs={props.jobs.clone()} frame={props.view.frame}
                doubts={Rc::new(doubts(trial))} {followed} />
        </StepScreen>
    }
}
