//! How a landmark looked where it was placed: what the following looks for.

use crate::ui::actions::use_hands;
use crate::ui::stage::draw_about;
use document::session::Trial;
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use std::cell::Cell;
use std::rc::Rc;
use yew::prelude::*;

/// Its own pixels each way.
const SIZE: u32 = 240;

/// The mark that a person placed last before a frame, or first after it.
#[must_use]
pub fn placed_for(trial: &Trial, landmark: Landmark, frame: u32) -> Option<(u32, Pixel)> {
    let keyframes = &trial.tracks.get(&landmark)?.keyframes;
    let before = keyframes.range(..=frame).next_back();
    before.or_else(|| keyframes.iter().next()).map(|(frame, at)| (*frame, *at))
}

#[derive(Properties, PartialEq)]
pub struct PlacedLookProps {
    /// The trial.
    pub trial: Rc<Trial>,
    /// Which landmark.
    pub landmark: Landmark,
    /// The frame at rest.
    pub frame: u32,
}

/// The piece of picture about the mark, as large as under the finger.
#[component]
pub fn PlacedLook(props: &PlacedLookProps) -> Html {
    let hands = use_hands();
    let canvas = use_node_ref();
    let placed = placed_for(&props.trial, props.landmark, props.frame);
    {
        let (canvas, conductor) = (canvas.clone(), hands.conductor.clone());
        let clip = (props.trial.id, props.trial.clip.fingerprint.clone());
        use_effect_with((clip, placed), move |((trial, _), placed)| {
            // Another may be wanted by the time this one comes.
            let is_wanted = Rc::new(Cell::new(true));
            if let Some((frame, at)) = *placed {
                let is_wanted = Rc::clone(&is_wanted);
                conductor.glimpse((*trial, frame), move |picture| {
                    if is_wanted.get() {
                        draw_about(&canvas, picture, at);
                    }
                });
            }
            move || is_wanted.set(false)
        });
    }
    let Some((frame, _)) = placed else { return Html::default() };
    html! {
        <figure class="placed-look">
            <div class="placed-picture" aria-hidden="true">
                <canvas ref={canvas} width={SIZE.to_string()} height={SIZE.to_string()}></canvas>
                <svg viewBox="-50 -50 100 100"><path class="loupe-cross" d="M-50 0H-6M6 0H50M0 -50V-6M0 6V50" /></svg>
            </div>
            <figcaption class="quiet">{ format!("As placed in frame {}: this is looked for.", frame + 1) }</figcaption>
        </figure>
    }
}
