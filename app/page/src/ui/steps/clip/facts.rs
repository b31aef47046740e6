//! What the file says of itself, and what follows for measuring.

use crate::ui::sentences;
use document::results::timestamps::{repeated_frames_sentence, timestamp_faults};
use document::session::Trial;
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct ClipFactsProps {
    /// The trial whose clip is described.
    pub trial: Rc<Trial>,
}

/// The facts in a table, and advice below it.
#[component]
pub fn ClipFacts(props: &ClipFactsProps) -> Html {
    let info = &props.trial.clip.info;
    let frames = timestamp_faults(&info.stamps_s).sentences();
    let advice = frames.into_iter().chain(repeated_frames_sentence(&props.trial.repeated));
    html! {
        <>
            <table class="facts">
                <caption class="visually-hidden">{ "What the file says of itself" }</caption>
                <tbody>{ for sentences::clip::facts(&props.trial).into_iter().map(|(name, value)| html! { <tr><th scope="row">{ name }</th><td>{ value }</td></tr> }) }</tbody>
            </table>
            <p class="advice">{ sentences::clip::rate_advice(info) }</p>
            { for advice.map(|sentence| html! { <p class="advice">{ sentence }</p> }) }
        </>
    }
}
