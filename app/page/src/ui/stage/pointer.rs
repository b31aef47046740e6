//! Turns pointer events on the picture into gestures.

use super::gesture::{Gesture, Phase};
use super::inspection::inspect;
use document::session::ClipInfo;
use mechanics::space::Pixel;
use web_sys::{Element, HtmlElement, PointerEvent};
use yew::prelude::*;

/// Chosen: half of a 44 px target, which is what a finger hits reliably. In pixels of the screen.
const FINGER_REACH_PX: f64 = 22.0;

/// The elements of a stage and what its gestures change.
#[derive(Clone)]
pub struct Surface {
    /// The element that hears the events.
    pub element: NodeRef,
    /// The canvas with the picture.
    pub canvas: NodeRef,
    /// The position under the pointer while it is down, for the loupe.
    pub pointer: UseStateHandle<Option<Pixel>>,
    /// Width of the picture.
    pub width_px: u32,
    /// Height of the picture.
    pub height_px: u32,
}

impl Surface {
    /// The surface of a clip's picture.
    pub fn new(
        info: &ClipInfo,
        element: &NodeRef,
        canvas: &NodeRef,
        pointer: &UseStateHandle<Option<Pixel>>,
    ) -> Self {
        Self {
            element: element.clone(),
            canvas: canvas.clone(),
            pointer: pointer.clone(),
            width_px: info.width_px,
            height_px: info.height_px,
        }
    }

    /// A listener for one phase of a gesture on the frame that is shown.
    pub fn listener(
        &self,
        phase: Phase,
        frame: u32,
        on_gesture: Option<Callback<Gesture>>,
    ) -> Callback<PointerEvent> {
        let surface = self.clone();
        Callback::from(move |event: PointerEvent| {
            let Some(on_gesture) = &on_gesture else { return };
            if event.button() > 0 || (phase == Phase::Move && event.buttons() == 0) {
                return;
            }
            // The target of the event is the root, which hears all events.
            let Some(element) = surface.element.cast::<HtmlElement>() else { return };
            let Some(Position { at, reach_px }) = surface.position(&event, &element) else {
                return;
            };
            if phase == Phase::Press {
                capture(&event, &element);
            }
            event.prevent_default();
            surface.pointer.set(matches!(phase, Phase::Press | Phase::Move).then_some(at));
            let glance = (phase == Phase::Release).then(|| inspect(&surface.canvas, at)).flatten();
            on_gesture.emit(Gesture { phase, at, frame, reach_px, glance });
        })
    }

    /// The position of the pointer in the picture.
    fn position(&self, event: &PointerEvent, element: &Element) -> Option<Position> {
        let rect = element.get_bounding_client_rect();
        if rect.width() <= 0.0 || rect.height() <= 0.0 {
            return None;
        }
        let scale = f64::from(self.width_px) / rect.width();
        let x_px = (event.client_x() - rect.left()) * scale - 0.5;
        let y_px =
            (event.client_y() - rect.top()) * f64::from(self.height_px) / rect.height() - 0.5;
        let clamp = |v: f64, size_px: u32| v.clamp(0.0, f64::from(size_px) - 1.0);
        let at = Pixel { x_px: clamp(x_px, self.width_px), y_px: clamp(y_px, self.height_px) };
        Some(Position { at, reach_px: FINGER_REACH_PX * scale })
    }
}

/// A position of the pointer.
struct Position {
    /// In picture pixels.
    at: Pixel,
    /// The reach of a finger, in picture pixels.
    reach_px: f64,
}

/// Captures the pointer, so that the gesture goes on outside of the picture, and moves the focus here.
fn capture(event: &PointerEvent, element: &HtmlElement) {
    // A pointer that is already gone cannot be captured; the gesture then ends by itself.
    let _ = element.set_pointer_capture(event.pointer_id());
    let _ = element.focus();
}
