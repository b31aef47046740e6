//! The picture around a mark that a person placed, which the tracker searches for.

use crate::ui::actions::use_actions;
use crate::ui::sentences;
use crate::ui::stage::{LOUPE_SIDE, draw_magnified};
use document::session::Trial;
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use std::cell::Cell;
use std::rc::Rc;
use yew::prelude::*;

/// The mark that a person placed last up to a frame, or else first after it.
fn keyframe_for(trial: &Trial, landmark: Landmark, frame: u32) -> Option<(u32, Pixel)> {
    let keyframes = &trial.tracks.get(&landmark)?.keyframes;
    let before = keyframes.range(..=frame).next_back();
    before.or_else(|| keyframes.iter().next()).map(|(frame, at)| (*frame, *at))
}

#[derive(Properties, PartialEq)]
pub struct PlacedPatchProps {
    /// The trial.
    pub trial: Rc<Trial>,
    /// The landmark.
    pub landmark: Landmark,
    /// The frame at rest.
    pub frame: u32,
}

/// The patch, magnified as in the loupe.
#[component]
pub fn PlacedPatch(props: &PlacedPatchProps) -> Html {
    let actions = use_actions();
    let canvas = use_node_ref();
    let keyframe = keyframe_for(&props.trial, props.landmark, props.frame);
    {
        let (canvas, conductor) = (canvas.clone(), actions.conductor.clone());
        let clip = (props.trial.id, props.trial.clip.fingerprint.clone());
        use_effect_with((clip, keyframe), move |((trial, _), keyframe)| {
            // Another patch may be wanted by the time this one arrives.
            let is_wanted = Rc::new(Cell::new(true));
            if let Some((frame, at)) = *keyframe {
                let is_wanted = Rc::clone(&is_wanted);
                conductor.glimpse((*trial, frame), move |image| {
                    if is_wanted.get() {
                        draw_magnified(&canvas, image, at);
                    }
                });
            }
            move || is_wanted.set(false)
        });
    }
    let Some((frame, _)) = keyframe else { return Html::default() };
    html! {
        <figure class="placed-patch">
            <div class="placed-picture" aria-hidden="true">
                <canvas ref={canvas} width={LOUPE_SIDE.to_string()} height={LOUPE_SIDE.to_string()}></canvas>
                <svg viewBox="-50 -50 100 100"><path class="loupe-cross" d="M-50 0H-6M6 0H50M0 -50V-6M0 6V50" /></svg>
            </div>
            <figcaption class="quiet">{ sentences::landmark::placed_patch(frame) }</figcaption>
        </figure>
    }
}
