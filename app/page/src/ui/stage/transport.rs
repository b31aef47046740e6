//! The way through time: frame by frame, at a slow or natural pace, or straight to a place.

use crate::ui::actions::use_hands;
use crate::ui::store::Look;
use document::session::Trial;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct TransportProps {
    /// Whose time.
    pub trial: Rc<Trial>,
    /// The frame at rest.
    pub frame: u32,
    /// Something drawn along the time line, such as contacts or doubt.
    #[prop_or_default]
    pub strip: Option<Html>,
}

/// The paces, slowest first.
const PACES: [(&str, f64); 4] = [("1/8", 0.125), ("1/4", 0.25), ("1/2", 0.5), ("1", 1.0)];

/// Playing: the pace, whether a clip plays, and what stops and starts it.
struct Playing {
    pace: UseStateHandle<usize>,
    is_playing: bool,
    stop: Callback<()>,
    start_or_stop: Callback<MouseEvent>,
}

#[hook]
fn use_playing(props: &TransportProps) -> Playing {
    let hands = use_hands();
    let playing = use_state_eq(|| false);
    let pace = use_state_eq(|| 1_usize);
    let trial = props.trial.id;
    let last = props.trial.clip.info.frame_count().saturating_sub(1);
    let stop = {
        let (hands, playing) = (hands.clone(), playing.clone());
        Callback::from(move |()| {
            playing.set(false);
            if let Some((_, frame)) = hands.conductor.stop() {
                hands.look(Look::Frame(frame));
            }
        })
    };
    let is_playing = *playing;
    let start_or_stop = {
        let (hands, stop) = (hands.clone(), stop.clone());
        let times_s: Rc<[f64]> = props.trial.times_s().into();
        let speed_ratio = PACES.get(*pace).map_or(1.0, |p| p.1);
        let from = if props.frame >= last { 0 } else { props.frame };
        Callback::from(move |_: MouseEvent| {
            if is_playing {
                stop.emit(());
            } else {
                playing.set(true);
                let stop = stop.clone();
                hands
                    .conductor
                    .play((trial, from), Rc::clone(&times_s), speed_ratio, move || stop.emit(()));
            }
        })
    };
    let conductor = hands.conductor.clone();
    use_effect_with(trial, move |_| {
        move || {
            conductor.stop();
        }
    });
    Playing { pace, is_playing, stop, start_or_stop }
}

/// The controls of time.
#[component]
pub fn Transport(props: &TransportProps) -> Html {
    let hands = use_hands();
    let playing = use_playing(props);
    let (frame, last) = (props.frame, props.trial.clip.info.frame_count().saturating_sub(1));
    let go_to = {
        let (hands, stop) = (hands.clone(), playing.stop.clone());
        Callback::from(move |frame: u32| {
            stop.emit(());
            hands.look(Look::Frame(frame.min(last)));
        })
    };
    let (back, on) = (go_to.clone(), go_to.clone());
    let scrub = Callback::from(move |event: InputEvent| {
        if let Some(frame) = value_of(&event).and_then(|v| v.parse().ok()) {
            go_to.emit(frame);
        }
    });
    let time_s = props.trial.times_s().get(frame as usize).copied().unwrap_or(0.0);
    html! {
        <div class="transport">
            <div class="strip-and-slider">
                { props.strip.clone() }
                <input type="range" aria-label="Frame" min="0" max={last.to_string()} step="1"
                    value={frame.to_string()} oninput={scrub}
                    aria-valuetext={format!("frame {} of {}, {time_s:.3} seconds", frame + 1, last + 1)} />
            </div>
            <div class="transport-row">
                <button aria-label="Previous frame" disabled={frame == 0} onclick={move |_| back.emit(frame.saturating_sub(1))}>{ "−1" }</button>
                <button class="play" onclick={playing.start_or_stop.clone()}>{ if playing.is_playing { "Pause" } else { "Play" } }</button>
                <button aria-label="Next frame" disabled={frame >= last} onclick={move |_| on.emit(frame + 1)}>{ "+1" }</button>
                { pace_choice(&playing) }
                <output class="frame-count">{ format!("frame {} of {} · {time_s:.3} s", frame + 1, last + 1) }</output>
            </div>
        </div>
    }
}

fn pace_choice(playing: &Playing) -> Html {
    let (pace, stop) = (playing.pace.clone(), playing.stop.clone());
    let chosen = *pace;
    let choose = Callback::from(move |event: Event| {
        let select = event.target().and_then(|t| t.dyn_into::<HtmlSelectElement>().ok());
        if let Some(index) = select.and_then(|s| s.value().parse().ok()) {
            stop.emit(());
            pace.set(index);
        }
    });
    html! {
        <label class="pace">
            <span class="quiet">{ "Pace" }</span>
            <select onchange={choose}>
                { for PACES.iter().enumerate().map(|(i, (name, _))| html! {
                    <option value={i.to_string()} selected={i == chosen}>{ *name }</option>
                }) }
            </select>
        </label>
    }
}

fn value_of(event: &InputEvent) -> Option<String> {
    Some(event.target()?.dyn_into::<HtmlInputElement>().ok()?.value())
}
