//! The tick of an event: dragged to move it, pressed to choose it.

use crate::ui::sentences;
use mechanics::gait::{EventKind, GaitEvent};
use web_sys::{Element, PointerEvent};
use yew::prelude::*;

/// Half the width of a tick's target, in units of the time line.
const REACH: f64 = 8.0;

/// A drag of an event.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drag {
    /// The event as it was.
    pub event: GaitEvent,
    /// The time under the pointer.
    pub to_s: f64,
}

#[derive(Properties, PartialEq)]
pub struct TickProps {
    /// The event.
    pub event: GaitEvent,
    /// Whether it can be moved; a mirrored event cannot.
    pub is_movable: bool,
    /// Whether it is the chosen one.
    pub is_chosen: bool,
    /// Its position, in units of the time line.
    pub x_px: f64,
    /// Top of its row, in the same units.
    pub top: usize,
    /// Height of its row, in the same units.
    pub height: usize,
    /// The drag under way.
    pub drag: UseStateHandle<Option<Drag>>,
    /// Called with the event when it is chosen by a key.
    pub on_choose: Callback<GaitEvent>,
}

/// The tick.
#[component]
pub fn Tick(props: &TickProps) -> Html {
    let TickProps { event, is_chosen, x_px: x, top, .. } = *props;
    let bottom = top + props.height;
    if !props.is_movable {
        return html! { <path class="tick mirrored" d={format!("M{x} {top}V{bottom}")} /> };
    }
    let onpointerdown = {
        let drag = props.drag.clone();
        Callback::from(move |pointer: PointerEvent| {
            pointer.prevent_default();
            drag.set(Some(Drag { event, to_s: event.time_s }));
            capture(&pointer);
        })
    };
    let onkeydown = {
        let on_choose = props.on_choose.clone();
        Callback::from(move |key: KeyboardEvent| {
            if key.key() == "Enter" || key.key() == " " {
                key.prevent_default();
                on_choose.emit(event);
            }
        })
    };
    let is_toe_off = event.kind == EventKind::ToeOff;
    html! {
        <g class={classes!("tick", is_chosen.then_some("chosen"), is_toe_off.then_some("toe-off"))} role="button" tabindex="0"
            aria-label={sentences::strides::event_spoken(event)} aria-pressed={is_chosen.to_string()} {onpointerdown} {onkeydown}>
            <rect class="reach" x={(x - REACH).to_string()} y={top.to_string()} width={(2.0 * REACH).to_string()} height={props.height.to_string()} />
            <path d={format!("M{x} {top}V{bottom}")} />
        </g>
    }
}

/// Captures the pointer for the time line, which hears the rest of the drag.
fn capture(pointer: &PointerEvent) {
    let tick = pointer.target_dyn_into::<Element>();
    if let Some(svg) = tick.and_then(|t| t.closest("svg").ok().flatten()) {
        let _ = svg.set_pointer_capture(pointer.pointer_id());
    }
}
