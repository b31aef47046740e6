//! How to film so that it can be measured, and the usual cautions.

use crate::ui::hands::use_hands;
use crate::ui::store::{Look, Screen};
use yew::prelude::*;

/// What makes a clip measurable. Common practice where no number is given; the numbers follow from the
/// errors of a side view: cos(angle) for a camera that is not square, and blur as speed times shutter.
const FILMING: [(&str, &str); 8] = [
    (
        "Square to the path.",
        "A camera turned by 10° changes knee flexion by about 2°; by 20°, by about 6°. Lay out a 3-4-5 triangle if you can.",
    ),
    (
        "Still, on something rigid.",
        "Lens about as high as the hip, five metres away or more, zoomed in by the lens and not by the screen. No panning.",
    ),
    (
        "120 frames a second or more.",
        "At 30, contacts are uncertain by 10 to 40 ms and the feet blur.",
    ),
    ("A short shutter.", "1/500 s or shorter, 1/1000 s in the sun. Lock focus and exposure."),
    (
        "A length in the picture.",
        "A stick of a known length, lying where the near foot runs. At the side of the track it measures the wrong place.",
    ),
    ("Something that hangs.", "A plumb line, or a belt that is level, says what is upright."),
    (
        "Marks on the joints.",
        "Round stickers with a strong contrast, on skin or tight clothing: hip, knee, ankle, heel, forefoot, shoulder, elbow, wrist.",
    ),
    (
        "Ten strides or more of each way, at one speed.",
        "Settle on the belt for six minutes first. Same shoes, same place, same camera.",
    ),
];

/// The cautions, in our words.
pub const CAUTIONS: [&str; 6] = [
    "This is information about movement. It is not medical advice and not a medical device; it does not diagnose, treat or foresee injury.",
    "Stop on pain, dizziness or anything in the chest, and see a licensed clinician. After an injury or an operation, run for this only under one.",
    "For a runner without complaints, no change of form is proven to prevent injury. What unloads one place loads another: a landing further forward asks more of calf and Achilles tendon.",
    "Change one thing at a time, in small doses, over weeks.",
    "On a belt: clip on the stop key, start slowly from the side rails, keep the space behind it clear.",
    "By a road or a track: tripod off the running line. Film only those who agree, and minors only with their guardians.",
];

/// The guide.
#[component]
pub fn GuideScreen() -> Html {
    let hands = use_hands();
    html! {
        <main class="reading">
            <h1>{ "How to film, so that it can be measured" }</h1>
            <dl class="filming">
                { for FILMING.iter().map(|(what, why)| html! { <><dt>{ *what }</dt><dd>{ *why }</dd></> }) }
            </dl>
            <h2>{ "Take care" }</h2>
            <ul>{ for CAUTIONS.iter().map(|c| html! { <li>{ *c }</li> }) }</ul>
            <p><button onclick={move |_| hands.look(Look::Screen(Screen::Home))}>{ "Back to the first page" }</button></p>
        </main>
    }
}
