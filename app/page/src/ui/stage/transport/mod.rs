//! The time line: play, step by frames, scrub.

mod playback;
mod speed_choice;

use crate::ui::actions::use_actions;
use crate::ui::sentences;
use crate::ui::store::ViewChange;
use document::session::Trial;
use playback::use_playback;
use speed_choice::speed_choice;
use std::rc::Rc;
use web_sys::HtmlInputElement;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct TransportProps {
    /// The trial whose clip is shown.
    pub trial: Rc<Trial>,
    /// The frame at rest.
    pub frame: u32,
    /// A drawing along the time line, such as contacts or doubt.
    #[prop_or_default]
    pub strip: Option<Html>,
}

/// The time line with its buttons.
#[component]
pub fn Transport(props: &TransportProps) -> Html {
    let actions = use_actions();
    let playback = use_playback(&props.trial, props.frame);
    let (frame, last) = (props.frame, props.trial.clip.info.frame_count().saturating_sub(1));
    let go_to = {
        let stop = playback.stop.clone();
        Callback::from(move |frame: u32| {
            stop.emit(());
            actions.change_view(ViewChange::Frame(frame.min(last)));
        })
    };
    let (earlier, later) = (go_to.clone(), go_to.clone());
    let scrub = Callback::from(move |event: InputEvent| {
        let input = event.target_dyn_into::<HtmlInputElement>();
        if let Some(frame) = input.and_then(|i| i.value().parse().ok()) {
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
                    aria-valuetext={sentences::stage::frame_position_spoken(frame, last + 1, time_s)} />
            </div>
            <div class="transport-row">
                <button aria-label="Previous frame" disabled={frame == 0} onclick={move |_| earlier.emit(frame.saturating_sub(1))}>{ "−1" }</button>
                <button class="play" onclick={playback.toggle.clone()}>{ if playback.is_playing { "Pause" } else { "Play" } }</button>
                <button aria-label="Next frame" disabled={frame >= last} onclick={move |_| later.emit(frame + 1)}>{ "+1" }</button>
                { speed_choice(&playback) }
                <output class="frame-count">{ sentences::stage::frame_position(frame, last + 1, time_s) }</output>
            </div>
        </div>
    }
}
