//! The choice of the playback speed.

use super::playback::{Playback, SPEEDS};
use web_sys::HtmlSelectElement;
use yew::prelude::*;

/// The choice; playback stops when it changes.
pub fn speed_choice(playback: &Playback) -> Html {
    let (speed, stop) = (playback.speed.clone(), playback.stop.clone());
    let current = *speed;
    let onchange = Callback::from(move |event: Event| {
        let select = event.target_dyn_into::<HtmlSelectElement>();
        if let Some(index) = select.and_then(|s| s.value().parse().ok()) {
            stop.emit(());
            speed.set(index);
        }
    });
    html! {
        <label class="playback-speed">
            <span class="quiet">{ "Speed" }</span>
            <select {onchange}>
                { for SPEEDS.iter().enumerate().map(|(i, (name, _))| html! {
                    <option value={i.to_string()} selected={i == current}>{ *name }</option>
                }) }
            </select>
        </label>
    }
}
