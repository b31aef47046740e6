//! The picture of one frame under a drawing in picture pixels; tells where it is touched.

use super::loupe::Loupe;
use crate::browser::frame_image::Sight;
use crate::ui::actions::use_hands;
use crate::ui::pending::Sink;
use document::session::Trial;
use jobs::{GLANCE_REACH_PX, Glance, glance};
use mechanics::space::Pixel;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, Element, HtmlCanvasElement, HtmlElement, PointerEvent};
use yew::prelude::*;

/// What a finger, a pen or a mouse does on the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gesture {
    /// What it does.
    pub phase: Phase,
    /// Where, in picture pixels.
    pub at: Pixel,
    /// In which frame, as shown.
    pub frame: u32,
    /// How far a finger reaches, in picture pixels: 22 px of the screen.
    pub reach_px: f64,
    /// What the picture holds there, in its own pixels, told when the finger is lifted.
    pub glance: Option<Glance>,
}

/// A moment of a gesture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// Down.
    Press,
    /// Moved while down.
    Move,
    /// Up.
    Release,
    /// Taken away by the system.
    Cancel,
}

/// What the stage is given.
#[derive(Properties, PartialEq)]
pub struct StageProps {
    /// Whose picture.
    pub trial: Rc<Trial>,
    /// The frame at rest.
    pub frame: u32,
    /// Whether pictures come by themselves, as markers are found in them: none is asked for.
    #[prop_or_default]
    pub live: bool,
    /// Draws over the picture of a frame: SVG in picture pixels.
    #[prop_or_default]
    pub overlay: Option<Callback<u32, Html>>,
    /// Told of gestures; without it the picture is not touched.
    #[prop_or_default]
    pub on_gesture: Option<Callback<Gesture>>,
    /// Told of keys while the picture has the focus.
    #[prop_or_default]
    pub on_key: Option<Callback<KeyboardEvent>>,
    /// What a screen reader is told the picture is for.
    pub label: AttrValue,
    /// Whether a loupe shows what is under the finger.
    #[prop_or_default]
    pub loupe: bool,
    /// Where the loupe looks when nothing is under a finger: the mark the keys move.
    #[prop_or_default]
    pub key_mark: Option<Pixel>,
}

/// How close the picture is looked at.
const CLOSER: [u32; 3] = [1, 2, 4];

/// Draws what the worker sends for this trial, and asks for the frame at rest; answers the frame shown.
#[hook]
fn use_picture(props: &StageProps, canvas: &NodeRef) -> Option<u32> {
    let hands = use_hands();
    let again = use_force_update();
    let waiting = use_mut_ref(|| None::<(u32, Rc<Sight>)>);
    let shown = use_mut_ref(|| None::<u32>);
    let trial = props.trial.id;
    let clip = (trial, props.trial.clip.fingerprint.clone());
    {
        let (conductor, waiting) = (hands.conductor.clone(), Rc::clone(&waiting));
        use_effect_with(clip.clone(), move |_| {
            let kept = Rc::clone(&waiting);
            let sink: Sink = Rc::new(move |place, picture| {
                if place.0 == trial {
                    kept.replace(Some((place.1, Rc::clone(picture))));
                    again.force_update();
                }
            });
            conductor.draw_on(Some(sink));
            move || {
                conductor.draw_on(None);
                drop(waiting.take());
            }
        });
    }
    let (conductor, drawn) = (hands.conductor.clone(), Rc::clone(&shown));
    use_effect_with((clip, props.frame, props.live), move |((trial, _), frame, live)| {
        if !live || drawn.borrow().is_none() {
            conductor.show((*trial, *frame));
        }
    });
    // Drawn in the very render that names it: a state that is set, and an effect too, may be put off to a later turn of
    // the browser, and in between the picture would be another than the one that is named, marked and touched.
    let arrived = waiting.take();
    if let Some((frame, _)) = arrived.filter(|(_, picture)| draw(canvas, picture)) {
        shown.replace(Some(frame));
    }
    *shown.borrow()
}

/// Tells the style sheet the shape of the picture, so that the whole of it fits into the window.
#[hook]
fn use_shape(surface: &NodeRef, size: (u32, u32)) {
    let surface = surface.clone();
    use_effect_with(size, move |(width, height)| {
        let shape = f64::from(*width) / f64::from((*height).max(1));
        if let Some(surface) = surface.cast::<HtmlElement>() {
            // A variable of one's own is never refused; without it the shape of most clips stands.
            let _ = surface.style().set_property("--shape", &format!("{shape:.4}"));
        }
    });
}

/// The picture.
#[component]
pub fn Stage(props: &StageProps) -> Html {
    let (canvas, surface) = (use_node_ref(), use_node_ref());
    let shown = use_picture(props, &canvas);
    let aim = use_state_eq(|| None::<Pixel>);
    let closer = use_state_eq(|| 1_u32);
    let info = &props.trial.clip.info;
    let (width, height) = (info.width_px, info.height_px);
    let gesture = |phase: Phase| {
        gesture(phase, props, shown.unwrap_or(props.frame), (&surface, &canvas, &aim))
    };
    use_shape(&surface, (width, height));
    let overlay = props.overlay.as_ref().map(|draw| draw.emit(shown.unwrap_or(props.frame)));
    let looked_at = (*aim).or(props.key_mark).filter(|_| props.loupe);
    html! {
        <div class="stage">
            <div class="stage-window" tabindex="-1">
                <div
                    class={classes!("stage-picture", format!("closer-{}", *closer), props.on_gesture.is_some().then_some("touchable"))}
                    ref={surface.clone()} data-testid="stage" data-frame={shown.map(|f| f.to_string())} data-width={width.to_string()} data-height={height.to_string()}
                    role="application" aria-label={props.label.clone()} tabindex="0"
                    onpointerdown={gesture(Phase::Press)} onpointermove={gesture(Phase::Move)}
                    onpointerup={gesture(Phase::Release)} onpointercancel={gesture(Phase::Cancel)}
                    onkeydown={props.on_key.clone()}
                >
                    <canvas ref={canvas.clone()} width={width.to_string()} height={height.to_string()} aria-hidden="true"></canvas>
                    <svg class="overlay" viewBox={format!("-0.5 -0.5 {width} {height}")} aria-hidden="true">{ overlay }</svg>
                    if shown.is_none() {
                        <p class="stage-waiting">{ "The picture is on its way." }</p>
                    }
                </div>
            </div>
            if let Some(at) = looked_at {
                <Loupe canvas={canvas.clone()} {at} frame={shown} left={at.x_px > f64::from(width) / 2.0} />
            }
            <div class="closer" role="group" aria-label="How close">
                { for CLOSER.iter().map(|times| closer_button(*times, &closer)) }
            </div>
        </div>
    }
}

/// Tells of one moment of a gesture; keeps the aim that the loupe looks at.
fn gesture(
    phase: Phase,
    props: &StageProps,
    frame: u32,
    (surface, canvas, aim): (&NodeRef, &NodeRef, &UseStateHandle<Option<Pixel>>),
) -> Callback<PointerEvent> {
    let (on_gesture, aim) = (props.on_gesture.clone(), aim.clone());
    let (surface, canvas) = (surface.clone(), canvas.clone());
    let size = (props.trial.clip.info.width_px, props.trial.clip.info.height_px);
    Callback::from(move |event: PointerEvent| {
        let Some(on_gesture) = &on_gesture else { return };
        if event.button() > 0 || (phase == Phase::Move && event.buttons() == 0) {
            return;
        }
        // The event's own target is the root, where all events are heard.
        let Some(surface) = surface.cast::<HtmlElement>() else { return };
        let Some((at, reach_px)) = place_of(&event, &surface, size) else { return };
        if phase == Phase::Press {
            hold(&event, &surface);
        }
        event.prevent_default();
        aim.set(matches!(phase, Phase::Press | Phase::Move).then_some(at));
        let glance = (phase == Phase::Release).then(|| glance_at(&canvas, at)).flatten();
        on_gesture.emit(Gesture { phase, at, frame, reach_px, glance });
    })
}

/// What the picture on the canvas holds about a place.
fn glance_at(canvas: &NodeRef, at: Pixel) -> Option<Glance> {
    let canvas = canvas.cast::<HtmlCanvasElement>()?;
    let reach = GLANCE_REACH_PX;
    // A place in a picture is far below what 32 bits hold.
    let whole = |v: f64| v.round() as i32 - reach;
    let (left, top, side) = (whole(at.x_px), whole(at.y_px), 2 * reach + 1);
    let piece = context_of(&canvas)?.get_image_data(left, top, side, side).ok()?;
    let there = Pixel { x_px: at.x_px - f64::from(left), y_px: at.y_px - f64::from(top) };
    let mut seen = glance(&piece.data(), side as usize, there)?;
    if let Some(middle) = &mut seen.middle {
        (middle.x_px, middle.y_px) = (middle.x_px + f64::from(left), middle.y_px + f64::from(top));
    }
    Some(seen)
}

fn closer_button(times: u32, closer: &UseStateHandle<u32>) -> Html {
    let (set, pressed) = (closer.clone(), **closer == times);
    let label =
        if times == 1 { "Whole picture".to_owned() } else { format!("{times} times as close") };
    html! {
        <button class="small" aria-pressed={pressed.to_string()} aria-label={label} onclick={move |_| set.set(times)}>
            { format!("{times}×") }
        </button>
    }
}

/// Draws the picture upright onto the canvas; false when there is no canvas any more.
fn draw(canvas: &NodeRef, picture: &Sight) -> bool {
    let Some(canvas) = canvas.cast::<HtmlCanvasElement>() else { return false };
    context_of(&canvas).is_some_and(|context| picture.fill(&context))
}

/// The drawing context of a canvas.
pub(super) fn context_of(canvas: &HtmlCanvasElement) -> Option<CanvasRenderingContext2d> {
    canvas.get_context("2d").ok().flatten()?.dyn_into().ok()
}

/// The place under the pointer in picture pixels, and how far 22 px of the screen reach there.
fn place_of(
    event: &PointerEvent,
    surface: &Element,
    (width, height): (u32, u32),
) -> Option<(Pixel, f64)> {
    let rect = surface.get_bounding_client_rect();
    if rect.width() <= 0.0 || rect.height() <= 0.0 {
        return None;
    }
    let scale = f64::from(width) / rect.width();
    let x_px = (event.client_x() - rect.left()) * scale - 0.5;
    let y_px = (event.client_y() - rect.top()) * f64::from(height) / rect.height() - 0.5;
    let inside = |v: f64, size: u32| v.clamp(0.0, f64::from(size) - 1.0);
    Some((Pixel { x_px: inside(x_px, width), y_px: inside(y_px, height) }, 22.0 * scale))
}

/// The gesture stays ours even when the finger leaves the picture, and the keys follow it here.
fn hold(event: &PointerEvent, surface: &HtmlElement) {
    // A pointer that is already gone cannot be held; the gesture then ends by itself.
    let _ = surface.set_pointer_capture(event.pointer_id());
    let _ = surface.focus();
}
