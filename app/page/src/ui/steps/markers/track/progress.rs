//! The progress of tracking, with the button that stops it.

use crate::ui::actions::use_actions;
use crate::ui::sentences;
use crate::ui::store::Following;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct ProgressProps {
    /// Name of the trial that is tracked.
    pub clip: AttrValue,
    /// How far tracking is.
    pub tracking: Following,
}

/// The progress.
#[component]
pub fn Progress(props: &ProgressProps) -> Html {
    let actions = use_actions();
    let Following { done, total, left_s, .. } = &props.tracking;
    let stop = move |_: MouseEvent| actions.conductor.stop_following(None);
    html! {
        <section class="follow" aria-label="Following">
            <p role="status">{ sentences::tracking::progress(&props.clip, *done, *total, *left_s) }</p>
            <progress aria-label="Frames followed" max={total.to_string()} value={done.to_string()}></progress>
            <button onclick={stop}>{ "Stop" }</button>
            <p class="quiet">{ sentences::tracking::STOP_KEEPS }</p>
        </section>
    }
}
