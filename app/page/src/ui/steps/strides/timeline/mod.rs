//! The time line of contacts and toe-offs: contact filled, swing open, a tick for each event.

mod tick;

use super::event_panel::moved;
use super::nearest_frame::nearest_frame;
use crate::ui::actions::use_actions;
use document::results::chart::{EventTick, Leg, LegPhase, Strip};
use document::session::{Trial, TrialCommand};
use mechanics::gait::GaitEvent;
use std::rc::Rc;
use tick::{Drag, Tick};
use web_sys::{Element, PointerEvent};
use yew::prelude::*;

/// Width of the time line, in its own units.
pub const TIMELINE_WIDTH: f64 = 1000.0;
/// Height of a leg's row, in the same units.
const ROW_HEIGHT: usize = 40;
/// Distance from the top of a row to its bar, and the bar's height.
const BAR_TOP: usize = 10;
const BAR_HEIGHT: usize = 20;

#[derive(Properties, PartialEq)]
pub struct TimelineProps {
    /// The rows, laid out.
    pub strip: Rc<Strip>,
    /// Time of the frame at rest.
    pub frame_s: f64,
    /// The chosen event.
    pub chosen: Option<GaitEvent>,
    /// Called with an event that is chosen.
    pub on_choose: Callback<GaitEvent>,
    /// Called with an event that was moved.
    pub on_moved: Callback<GaitEvent>,
    /// The trial.
    pub trial: Rc<Trial>,
}

/// The time line.
#[component]
pub fn Timeline(props: &TimelineProps) -> Html {
    let drag = use_state_eq(|| None::<Drag>);
    let svg = use_node_ref();
    let strip = &props.strip;
    let height = ROW_HEIGHT * strip.legs.len().max(1);
    let on_move = {
        let (drag, svg, strip) = (drag.clone(), svg.clone(), Rc::clone(strip));
        Callback::from(move |pointer: PointerEvent| {
            if let (Some(held), Some(to_s)) = (*drag, time_under(&svg, &strip, &pointer)) {
                drag.set(Some(Drag { to_s, ..held }));
            }
        })
    };
    let on_up = use_release(props, &drag);
    let cursor = strip.at_px(props.frame_s);
    html! {
        <svg ref={svg} class="strip events-strip" viewBox={format!("0 0 {TIMELINE_WIDTH} {height}")} preserveAspectRatio="none" role="group"
            aria-label="Contacts and toe-offs along the time line" onpointermove={on_move} onpointerup={on_up}>
            { for strip.legs.iter().enumerate().map(|(index, leg)| row(props, &drag, leg, ROW_HEIGHT * index)) }
            <path class="cursor-line" d={format!("M{cursor} 0V{height}")} />
        </svg>
    }
}

/// A leg's row, `top` units down.
fn row(props: &TimelineProps, drag: &UseStateHandle<Option<Drag>>, leg: &Leg, top: usize) -> Html {
    let tick = |tick: &EventTick| {
        let is_chosen = props.chosen == Some(tick.event);
        let dragged = (**drag).filter(|held| held.event == tick.event);
        let x_px = dragged.map_or(tick.x_px, |held| props.strip.at_px(held.to_s));
        html! {
            <Tick event={tick.event} is_movable={tick.is_movable} {is_chosen} {x_px} {top} height={ROW_HEIGHT}
                drag={drag.clone()} on_choose={props.on_choose.clone()} />
        }
    };
    html! {
        <g class={classes!("leg", leg.is_mirrored.then_some("mirrored"))}>
            { for leg.spans.iter().map(|span| html! {
                <rect class={if span.phase == LegPhase::Contact { "contact" } else { "swing" }} x={span.from_px.to_string()} y={(top + BAR_TOP).to_string()}
                    width={(span.to_px - span.from_px).max(0.0).to_string()} height={BAR_HEIGHT.to_string()} />
            }) }
            { for leg.ticks.iter().map(tick) }
        </g>
    }
}

/// The time under the pointer.
fn time_under(svg: &NodeRef, strip: &Strip, pointer: &PointerEvent) -> Option<f64> {
    let rect = svg.cast::<Element>()?.get_bounding_client_rect();
    let ratio = (pointer.client_x() - rect.left()) / rect.width();
    (rect.width() > 0.0).then(|| strip.at_s(ratio * TIMELINE_WIDTH))
}

/// Ends a drag: the event moves to the nearest frame, or is chosen if it was only pressed.
#[hook]
fn use_release(
    props: &TimelineProps,
    drag: &UseStateHandle<Option<Drag>>,
) -> Callback<PointerEvent> {
    let actions = use_actions();
    let (drag, id, times_s) = (drag.clone(), props.trial.id, props.trial.times_s());
    let (on_moved, on_choose) = (props.on_moved.clone(), props.on_choose.clone());
    Callback::from(move |_: PointerEvent| {
        if let Some(Drag { event, to_s }) = *drag {
            let to_s = times_s.get(nearest_frame(&times_s, to_s) as usize).copied().unwrap_or(to_s);
            let frame_times_s = times_s.iter().zip(times_s.iter().skip(1)).map(|(a, b)| b - a);
            // Less than a frame is a press, not a move.
            if (to_s - event.time_s).abs() > frame_times_s.fold(f64::INFINITY, f64::min) {
                actions.change_trial(id, TrialCommand::EditEvent(moved(event, to_s)));
                on_moved.emit(GaitEvent { time_s: to_s, ..event });
            } else {
                on_choose.emit(event);
            }
        }
        drag.set(None);
    })
}
