//! The step *Clip*: which clip, and is it fit for measuring?

use super::StepProps;
use crate::ui::actions::use_hands;
use crate::ui::components::{StepScreen, TextField, TrialName};
use crate::ui::home::{FileButton, KeepOnDevice, SaveSession, open_as_new_trials};
use crate::ui::stage::{Stage, Transport};
use crate::ui::store::Step;
use document::results::timestamps::{repeated_in_words, stamps};
use document::session::{Conditions, TrialCommand};
use std::rc::Rc;
use yew::prelude::*;

/// The step.
#[component]
pub fn ClipStep(props: &StepProps) -> Html {
    let hands = use_hands();
    let trial = &props.trial;
    let set_conditions = {
        let (hands, id, before) = (hands.clone(), trial.id, trial.conditions.clone());
        move |change: fn(&mut Conditions, String)| {
            let (hands, before) = (hands.clone(), before.clone());
            Callback::from(move |words: String| {
                let mut conditions = before.clone();
                change(&mut conditions, words);
                hands.change(id, TrialCommand::SetConditions(conditions));
            })
        }
    };
    let another = {
        let hands = hands.clone();
        Callback::from(move |files| open_as_new_trials(&hands, files))
    };
    let remove = {
        let (hands, id) = (hands.clone(), trial.id);
        Callback::from(move |_: MouseEvent| {
            // What is still found of it must not come to the next clip, which may take its number.
            hands.conductor.stop_following(Some(id));
            hands.carry_out(document::session::Command::RemoveTrial(id));
        })
    };
    html! {
        <StepScreen question="Is this the clip, and can it be measured?" session={Rc::clone(&props.session)} trial={trial.id}
            picture={picture(props)} next={(Step::Scale, AttrValue::default())}>
            <ClipFacts trial={Rc::clone(trial)} />
            <TrialName trial={Rc::clone(trial)} />
            <TextField label="What the runner was asked to do" value={trial.conditions.cue.clone()} on_change={set_conditions(|c, w| c.cue = w)} />
            <TextField label="Shoes" value={trial.conditions.shoes.clone()} on_change={set_conditions(|c, w| c.shoes = w)} />
            <KeepOnDevice trial={Rc::clone(trial)} in_hand={props.clip_in_hand()} />
            <div class="row">
                <FileButton label="Open another clip" accept="video/*,.mp4,.mov,.webm,.m4v" many=true on_files={another} />
                <button onclick={remove}>{ "Take this clip out" }</button>
                <SaveSession session={Rc::clone(&props.session)} />
            </div>
        </StepScreen>
    }
}

/// The picture with the way through time, or the plea for the file.
pub fn picture(props: &StepProps) -> Html {
    if !props.clip_in_hand() {
        return html! { <super::super::home::AskForClip trial={Rc::clone(&props.trial)} opening={!props.jobs.opening.is_empty()} /> };
    }
    html! {
        <>
            <Stage trial={Rc::clone(&props.trial)} frame={props.view.frame} label="Picture of the clip" />
            <Transport trial={Rc::clone(&props.trial)} frame={props.view.frame} />
        </>
    }
}

#[derive(Properties, PartialEq)]
struct ClipFactsProps {
    trial: Rc<document::session::Trial>,
}

/// What the file says of itself, and what follows for measuring.
#[component]
fn ClipFacts(props: &ClipFactsProps) -> Html {
    let clip = &props.trial.clip;
    let info = &clip.info;
    let rate_hz = info.stamped_rate_hz();
    let length_s = info.stamps_s.last().copied().unwrap_or(0.0);
    let turn = match info.rotation_quarter_turns % 4 {
        0 => "none",
        1 => "a quarter turn right",
        2 => "half a turn",
        _ => "a quarter turn left",
    };
    let rows = [
        ("File", clip.name.clone()),
        ("Picture", format!("{} × {} px", info.width_px, info.height_px)),
        ("Rate in the stamps", rate_hz.map_or("—".into(), |r| format!("{r:.2} frames/s"))),
        ("Length", format!("{length_s:.2} s, {} frames", info.frame_count())),
        ("Codec", info.codec.clone()),
        ("Rotation", turn.to_owned()),
        ("Camera", camera_in_words(&props.trial)),
    ];
    html! {
        <>
            <table class="facts">
                <caption class="hidden">{ "What the file says of itself" }</caption>
                <tbody>{ for rows.iter().map(|(name, value)| html! { <tr><th scope="row">{ *name }</th><td>{ value }</td></tr> }) }</tbody>
            </table>
            <p class="advice">{ advice(rate_hz, info.other_rate_hz()) }</p>
            { for stamps(&info.stamps_s).in_words().into_iter().chain(repeated_in_words(&props.trial.repeated)).map(|told| html! { <p class="advice">{ told }</p> }) }
        </>
    }
}

/// What a following found of the camera.
fn camera_in_words(trial: &document::session::Trial) -> String {
    let followed = trial.tracks.values().any(|t| t.followed.is_some());
    match &trial.camera {
        Some(path) => format!("moves; brought to one frame, ± {:.1} px", path.residual_px),
        None if followed => "taken as still".to_owned(),
        None => "not looked at yet".to_owned(),
    }
}

/// Whether fast joints blur at a frame rate and go far from frame to frame, so that many marks need a hand.
pub(super) fn is_slow(rate_hz: f64) -> bool {
    rate_hz < 50.0
}

/// What the frame rate means for the numbers.
/// Source: reference ranges of event error by frame rate measured on two runners at 2.5 m/s; the
/// limits of 50 and 100 frames/s are a judgement from them.
fn advice(rate_hz: Option<f64>, other_rate_hz: Option<f64>) -> String {
    if let (Some(rate), Some(filmed_hz)) = (rate_hz, other_rate_hz) {
        let plays = if filmed_hz > rate { "in slow motion" } else { "faster than it was filmed" };
        return format!(
            "The file says that it was filmed at {filmed_hz:.0} frames/s: it plays {plays}. Confirm the rate in the step Scale."
        );
    }
    match rate_hz {
        None => "The file has too few frames to measure: film at least two strides.".to_owned(),
        Some(rate) if is_slow(rate) => "At this rate fast joints blur and contacts are uncertain by 10 to 40 ms: expect to correct many \
             marks by hand. Film at 120 frames/s or more if the phone can."
            .to_owned(),
        Some(rate) if rate < 100.0 => {
            "Good enough for energy and cadence; contacts are uncertain by about 5 to 10 ms. 120 frames/s or more is better.".to_owned()
        }
        Some(_) => "A good rate for measuring. If the phone filmed in slow motion, say so in the step Scale.".to_owned(),
    }
}
