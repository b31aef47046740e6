//! The picture of one frame with a drawing over it; reports gestures and keys.

use super::canvas::draw;
use super::gesture::{Gesture, Phase};
use super::loupe::Loupe;
use super::pointer::Surface;
use super::zoom::zoom_buttons;
use crate::browser::frame_image::Sight;
use crate::ui::actions::use_actions;
use crate::ui::pending::Sink;
use crate::ui::sentences;
use document::session::Trial;
use mechanics::space::Pixel;
use std::rc::Rc;
use web_sys::HtmlElement;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct StageProps {
    /// The trial whose clip is shown.
    pub trial: Rc<Trial>,
    /// The frame at rest.
    pub frame: u32,
    /// Whether frames arrive by themselves during tracking, so that none is asked for.
    #[prop_or_default]
    pub is_live: bool,
    /// Draws over a frame: SVG in picture pixels.
    #[prop_or_default]
    pub overlay: Option<Callback<u32, Html>>,
    /// Called with gestures; without it the picture does not react to the pointer.
    #[prop_or_default]
    pub on_gesture: Option<Callback<Gesture>>,
    /// Called with keys while the picture has the focus.
    #[prop_or_default]
    pub on_key: Option<Callback<KeyboardEvent>>,
    /// The purpose of the picture, for a screen reader.
    pub label: AttrValue,
    /// Whether a loupe magnifies the picture under the pointer.
    #[prop_or_default]
    pub has_loupe: bool,
    /// What the loupe shows while no pointer is down: the mark that the keys move.
    #[prop_or_default]
    pub key_mark: Option<Pixel>,
}

/// Draws the frames of this trial as they arrive, and asks for the frame at rest; answers the frame on the canvas.
#[hook]
fn use_frames(props: &StageProps, canvas: &NodeRef) -> Option<u32> {
    let actions = use_actions();
    let update = use_force_update();
    let arrived = use_mut_ref(|| None::<(u32, Rc<Sight>)>);
    let shown = use_mut_ref(|| None::<u32>);
    let trial = props.trial.id;
    let clip = (trial, props.trial.clip.fingerprint.clone());
    {
        let (conductor, arrived) = (actions.conductor.clone(), Rc::clone(&arrived));
        use_effect_with(clip.clone(), move |_| {
            let slot = Rc::clone(&arrived);
            let sink: Sink = Rc::new(move |place, image| {
                if place.0 == trial {
                    slot.replace(Some((place.1, Rc::clone(image))));
                    update.force_update();
                }
            });
            conductor.draw_on(Some(sink));
            move || {
                conductor.draw_on(None);
                drop(arrived.take());
            }
        });
    }
    let (conductor, drawn) = (actions.conductor.clone(), Rc::clone(&shown));
    use_effect_with((clip, props.frame, props.is_live), move |((trial, _), frame, is_live)| {
        if !is_live || drawn.borrow().is_none() {
            conductor.show((*trial, *frame));
        }
    });
    // Drawn in the very render that names the frame: the browser may put off a new state, and an effect too, to a later
    // turn, and until then the canvas would show another frame than the one that is named, marked and touched.
    let latest = arrived.take();
    if let Some((frame, _)) = latest.filter(|(_, image)| draw(canvas, image)) {
        shown.replace(Some(frame));
    }
    *shown.borrow()
}

/// Passes the shape of the picture to the style sheet, so that all of it fits into the window.
#[hook]
fn use_shape(element: &NodeRef, width_px: u32, height_px: u32) {
    let element = element.clone();
    use_effect_with((width_px, height_px), move |(width_px, height_px)| {
        let shape = f64::from(*width_px) / f64::from((*height_px).max(1));
        if let Some(element) = element.cast::<HtmlElement>() {
            // A custom property is never refused; without it the shape of most clips applies.
            let _ = element.style().set_property("--shape", &format!("{shape:.4}"));
        }
    });
}

/// The picture.
#[component]
pub fn Stage(props: &StageProps) -> Html {
    let (canvas, element) = (use_node_ref(), use_node_ref());
    let shown = use_frames(props, &canvas);
    let pointer = use_state_eq(|| None::<Pixel>);
    let zoom = use_state_eq(|| 1_u32);
    let surface = Surface::new(&props.trial.clip.info, &element, &canvas, &pointer);
    let (width, height) = (surface.width_px, surface.height_px);
    use_shape(&element, width, height);
    let frame = shown.unwrap_or(props.frame);
    let listener = |phase: Phase| surface.listener(phase, frame, props.on_gesture.clone());
    let overlay = props.overlay.as_ref().map(|draw| draw.emit(frame));
    let magnified = (*pointer).or(props.key_mark).filter(|_| props.has_loupe);
    html! {
        <div class="stage">
            <div class="stage-window" tabindex="-1">
                <div
                    class={classes!("stage-picture", format!("zoom-{}", *zoom), props.on_gesture.is_some().then_some("touchable"))}
                    ref={element.clone()} data-testid="stage" data-frame={shown.map(|f| f.to_string())} data-width={width.to_string()} data-height={height.to_string()}
                    role="application" aria-label={props.label.clone()} tabindex="0"
                    onpointerdown={listener(Phase::Press)} onpointermove={listener(Phase::Move)}
                    onpointerup={listener(Phase::Release)} onpointercancel={listener(Phase::Cancel)}
                    onkeydown={props.on_key.clone()}
                >
                    <canvas ref={canvas.clone()} width={width.to_string()} height={height.to_string()} aria-hidden="true"></canvas>
                    <svg class="overlay" viewBox={format!("-0.5 -0.5 {width} {height}")} aria-hidden="true">{ overlay }</svg>
                    if shown.is_none() {
                        <p class="stage-waiting">{ sentences::stage::WAITING }</p>
                    }
                </div>
            </div>
            if let Some(at) = magnified {
                <Loupe canvas={canvas.clone()} {at} frame={shown} is_left={at.x_px > f64::from(width) / 2.0} />
            }
            { zoom_buttons(&zoom) }
        </div>
    }
}
