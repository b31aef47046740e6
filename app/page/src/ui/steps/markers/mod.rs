//! The step *Markers*: where are the joints, in one frame and then in all?

mod follow;
mod guide;
mod overlay;
mod placed;
mod preview;
mod touch;

pub use touch::nudge;

use super::StepProps;
use crate::ui::actions::{Hands, use_hands};
use crate::ui::components::{Shared, StepScreen};
use crate::ui::home::AskForClip;
use crate::ui::stage::{Gesture, Phase, Stage, Transport};
use crate::ui::store::{Look, Step};
use document::results::TrialResult;
use document::results::doubt::doubts;
use document::session::{MarkerMode, Trial, TrialCommand};
use follow::{FollowPart, follow_touched};
use guide::GuidePart;
use jobs::Glance;
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use overlay::{doubt_strip, marks_over};
use std::rc::Rc;
use touch::{Drag, take_hold};
use yew::prelude::*;

/// Puts a landmark somewhere in a frame.
type Place = Callback<(Landmark, u32, Pixel, Option<Glance>)>;

/// What the step is given.
#[derive(Properties, PartialEq)]
pub struct MarkersProps {
    /// As for every step.
    pub step: StepProps,
    /// What was computed, to know what hangs on a mark in doubt.
    pub result: Shared<TrialResult>,
}

/// The step.
#[component]
pub fn MarkersStep(props: &MarkersProps) -> Html {
    let (result, props) = (&props.result, &props.step);
    let hands = use_hands();
    let drag = use_state_eq(|| None::<Drag>);
    let crosshair = use_state_eq(|| None::<Pixel>);
    let trial = &props.trial;
    // Computed again when marks or numbers are others, not for every frame that is looked at.
    let doubtful = use_memo((Shared(Rc::clone(trial)), result.clone()), |(trial, result)| {
        doubts(trial, (**result).as_ref().ok())
    });
    let tried = use_memo((Shared(Rc::clone(trial)), props.clip_in_hand()), |(trial, in_hand)| {
        in_hand.then(|| preview::to_be_tried(trial)).flatten()
    });
    {
        let (conductor, id) = (hands.conductor.clone(), trial.id);
        use_effect_with((id, tried), move |(_, plan)| {
            if let Some(plan) = (**plan).clone() {
                conductor.try_out(id, plan);
            }
        });
    }
    let chosen = props.view.landmark.or_else(|| trial.next_unplaced());
    let followed = trial.tracks.values().any(|t| t.followed.is_some());
    let place = placing(&hands, trial, chosen);
    let at_rest = chosen.and_then(|l| trial.tracks.get(&l)?.sample(props.view.frame)).map(|s| s.at);
    let following = props.jobs.following.as_ref().filter(|f| f.trial == trial.id);
    let overlay = {
        let (trial, drag, cross) =
            (Rc::clone(trial), *drag, (*crosshair).filter(|_| at_rest.is_none()));
        let live = following.map(|f| f.latest.clone());
        Callback::from(move |frame| marks_over(&trial, frame, chosen, (drag, cross), live.as_ref()))
    };
    let picture = if props.clip_in_hand() {
        let shown = following.map_or(props.view.frame, |f| f.frame);
        let keys = Keys { chosen, at_rest, crosshair: crosshair.clone(), place: place.clone() };
        html! {
            <>
                <Stage trial={Rc::clone(trial)} frame={shown} live={following.is_some()} loupe=true overlay={Some(overlay)}
                    on_gesture={Some(gestures(&hands, trial, chosen, &drag, place))}
                    on_key={Some(keys.heard(&hands, props))} key_mark={at_rest.or(*crosshair)} label={LABEL} />
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
            <GuidePart trial={Rc::clone(trial)} {chosen} frame={props.view.frame} in_hand={props.clip_in_hand()} />
            <FollowPart session={Rc::clone(&props.session)} trial={Rc::clone(trial)} jobs={props.jobs.clone()} frame={props.view.frame}
                doubts={doubtful} {followed} />
        </StepScreen>
    }
}

const LABEL: &str = "Picture: press to place the named landmark; arrow keys move it by one pixel, with Shift by ten, \
    Enter places it, N goes to the next doubtful stretch";

/// Places a mark, follows again what it touches, and goes on to the next landmark while marks are first placed.
fn placing(hands: &Hands, trial: &Rc<Trial>, chosen: Option<Landmark>) -> Place {
    let (hands, trial, mode) = (hands.clone(), Rc::clone(trial), guide::mode_for(trial, chosen));
    Callback::from(move |(landmark, frame, at, glance): (Landmark, u32, Pixel, Option<Glance>)| {
        // What is seen there decides how a new mark is followed; it can be changed beside the picture.
        let mode = glance.map_or(mode, |g| g.mode);
        let known = trial.tracks.get(&landmark);
        // A finger is some pixels off, and each time to another side; the arrow keys move a mark out of the middle.
        let is_sticker = known.map_or(mode, |t| t.mode) == MarkerMode::Sticker;
        let at = glance.and_then(|g| g.middle).filter(|_| is_sticker).unwrap_or(at);
        if glance.is_some_and(|g| g.is_even) && known.is_none() {
            hands.say(format!(
                "The picture is even at {landmark}: expect to correct this mark by hand, or film again with a sticker there"
            ));
        }
        hands.change(trial.id, TrialCommand::PlaceMark { landmark, frame, at, mode });
        follow_touched(&hands, &trial, landmark, frame, at);
        let first_mark = known.is_none_or(|t| t.keyframes.is_empty());
        hands.look(Look::Landmark(if first_mark { None } else { Some(landmark) }));
    })
}

fn gestures(
    hands: &Hands,
    trial: &Rc<Trial>,
    chosen: Option<Landmark>,
    drag: &UseStateHandle<Option<Drag>>,
    place: Place,
) -> Callback<Gesture> {
    let (hands, trial, drag) = (hands.clone(), Rc::clone(trial), drag.clone());
    Callback::from(move |gesture: Gesture| match gesture.phase {
        Phase::Press => {
            hands.conductor.stop();
            drag.set(take_hold(&trial, chosen, gesture));
        }
        Phase::Move => drag.set(drag.map(|d| d.moved(gesture.at))),
        Phase::Release => {
            if let Some(d) = drag.map(|d| d.moved(gesture.at)) {
                if d.has_moved() {
                    place.emit((d.landmark, d.frame, d.at, gesture.glance));
                } else {
                    hands.look(Look::Landmark(Some(d.landmark)));
                }
            }
            drag.set(None);
        }
        Phase::Cancel => drag.set(None),
    })
}

/// What the keys act on.
struct Keys {
    chosen: Option<Landmark>,
    at_rest: Option<Pixel>,
    crosshair: UseStateHandle<Option<Pixel>>,
    place: Place,
}

impl Keys {
    fn heard(self, hands: &Hands, props: &StepProps) -> Callback<KeyboardEvent> {
        let (hands, trial, frame) = (hands.clone(), Rc::clone(&props.trial), props.view.frame);
        let info = &trial.clip.info;
        let middle =
            Pixel { x_px: f64::from(info.width_px) / 2.0, y_px: f64::from(info.height_px) / 2.0 };
        Callback::from(move |event: KeyboardEvent| {
            if matches!(event.key().as_str(), "n" | "N") {
                return follow::go_to_next_doubt(&hands, &trial, frame);
            }
            let Some(landmark) = self.chosen else { return };
            let here = self.at_rest.or(*self.crosshair).unwrap_or(middle);
            if let Some((dx, dy)) = nudge(&event) {
                event.prevent_default();
                let at = Pixel { x_px: here.x_px + dx, y_px: here.y_px + dy };
                if self.at_rest.is_some() {
                    self.place.emit((landmark, frame, at, None));
                } else {
                    self.crosshair.set(Some(at));
                }
                return;
            }
            match event.key().as_str() {
                "Enter" => {
                    event.prevent_default();
                    self.place.emit((landmark, frame, here, None));
                }
                "Delete" => hands.change(trial.id, TrialCommand::ForgetMark { landmark, frame }),
                _ => {}
            }
        })
    }
}
