//! The step *Strides*: when do the feet meet and leave the ground?

use super::StepProps;
use crate::ui::actions::{Hands, use_hands};
use crate::ui::components::{MissingList, Shared, StepScreen, TableView};
use crate::ui::home::AskForClip;
use crate::ui::stage::{Stage, Transport};
use crate::ui::store::{Look, Step};
use document::results::TrialResult;
use document::results::chart::{EventTick, Leg, Phase as BarPhase, Strip, strip};
use document::session::{Trial, TrialCommand};
use mechanics::gait::{EventEdit, EventKind, GaitEvent};
use mechanics::space::Side;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use web_sys::{Element, PointerEvent};
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct StridesProps {
    /// As for every step.
    pub step: StepProps,
    /// What was computed.
    pub result: Shared<TrialResult>,
}

/// Width of the strip in its own units.
const WIDE: f64 = 1000.0;

/// The step.
#[component]
pub fn StridesStep(props: &StridesProps) -> Html {
    let hands = use_hands();
    let chosen = use_state_eq(|| None::<GaitEvent>);
    let step = &props.step;
    let trial = &step.trial;
    let times_s = trial.times_s();
    let strip = match &*props.result {
        Ok(done) => strip(
            &times_s,
            &done.analysis.events,
            &done.analysis.strides,
            &done.analysis.excluded,
            WIDE,
        ),
        Err(lacking) => strip(&times_s, &lacking.events, &[], &[], WIDE),
    };
    let here_s = times_s.get(step.view.frame as usize).copied().unwrap_or(0.0);
    let chosen_event =
        (*chosen).filter(|c| strip.legs.iter().flat_map(|l| &l.ticks).any(|t| t.event == *c));
    let choose = {
        let (chosen, hands, times_s) = (chosen.clone(), hands.clone(), times_s.clone());
        Callback::from(move |event: GaitEvent| {
            chosen.set(Some(event));
            hands.look(Look::Frame(frame_at(&times_s, event.time_s)));
        })
    };
    let line = html! { <><StripView strip={Rc::new(strip.clone())} {here_s} chosen={chosen_event} on_choose={choose} trial={Rc::clone(trial)} on_moved={let chosen = chosen.clone(); move |e| chosen.set(Some(e))} />{ key_to_the_line(&strip.legs) }</> };
    let picture = if step.clip_in_hand() {
        html! {
            <>
                <Stage trial={Rc::clone(trial)} frame={step.view.frame} label="Picture of the clip" />
                <Transport trial={Rc::clone(trial)} frame={step.view.frame} strip={Some(line)} />
            </>
        }
    } else {
        html! { <><AskForClip trial={Rc::clone(trial)} opening={!step.jobs.opening.is_empty()} />{ line }</> }
    };
    html! {
        <StepScreen question="When do the feet meet and leave the ground?" session={Rc::clone(&step.session)} trial={trial.id} {picture}
            next={(Step::Ledger, AttrValue::default())}>
            { summary(&props.result) }
            { chosen_part(&hands, trial, (chosen_event, &chosen), here_s, &times_s) }
            { add_part(&hands, trial, here_s) }
            <details>
                <summary>{ "All contacts and toe-offs" }</summary>
                <TableView table={strip.table.clone()} />
            </details>
            if !trial.event_edits.is_empty() {
                <button onclick={let (hands, id) = (hands.clone(), trial.id); move |_| hands.change(id, TrialCommand::ForgetEventEdits)}>{ "Back to the events as found" }</button>
            }
        </StepScreen>
    }
}

/// How the time line is read.
fn key_to_the_line(legs: &[Leg]) -> Html {
    let rows = match legs {
        [_, far] if far.is_mirrored => {
            "Above: near leg. Below: far leg, taken as the near one half a stride later. "
        }
        [_, _] => "Above: near leg. Below: far leg. ",
        _ => "",
    };
    html! { <p class="quiet">{ rows }{ "Filled: on the ground. Unbroken tick: contact. Dashed tick: toe-off." }</p> }
}

fn frame_at(times_s: &[f64], time_s: f64) -> u32 {
    let after = times_s.partition_point(|t| *t < time_s);
    let nearer = match (after.checked_sub(1).and_then(|i| times_s.get(i)), times_s.get(after)) {
        (Some(before), Some(next)) if time_s - before < next - time_s => after - 1,
        (Some(_), None) => after - 1,
        _ => after,
    };
    u32::try_from(nearer).unwrap_or(0)
}

fn summary(result: &TrialResult) -> Html {
    match result {
        Err(lacking) => html! { <MissingList missing={lacking.missing.clone()} /> },
        Ok(done) => {
            let strides = &done.analysis.strides;
            html! {
                <>
                    <p role="status"><b>{ format!("{} strides are used.", strides.len()) }</b></p>
                    if strides.len() < 7 {
                        <p class="quiet">{ "Means settle after about seven steps; ten strides or more of each way are better." }</p>
                    }
                    { for done.analysis.excluded.iter().map(|l| html! { <p>{ format!("{:.2} to {:.2} s: {}", l.start_s, l.end_s, l.reason.sentence) }</p> }) }
                    { for done.analysis.checks.iter().filter(|c| !c.holds).map(|c| html! { <p class="check"><b>{ &c.found }</b>{ " " }{ &c.what_to_do }</p> }) }
                </>
            }
        }
    }
}

fn kind_name(kind: EventKind) -> &'static str {
    match kind {
        EventKind::Contact => "Contact",
        EventKind::ToeOff => "Toe-off",
    }
}

fn side_name(side: Side) -> &'static str {
    match side {
        Side::Near => "near foot",
        Side::Far => "far foot",
    }
}

fn chosen_part(
    hands: &Hands,
    trial: &Rc<Trial>,
    (event, state): (Option<GaitEvent>, &UseStateHandle<Option<GaitEvent>>),
    here_s: f64,
    times_s: &[f64],
) -> Html {
    let Some(event) = event else {
        return html! { <p class="quiet">{ "Take hold of a tick on the time line to move it, or press it to see its frame." }</p> };
    };
    let move_to = |to_s: f64, label: &'static str| {
        let (hands, id, state) = (hands.clone(), trial.id, state.clone());
        html! {
            <button onclick={move |_| {
                hands.change(id, TrialCommand::EditEvent(move_of(event, to_s)));
                state.set(None);
            }}>{ label }</button>
        }
    };
    let frame = frame_at(times_s, event.time_s) as usize;
    let neighbour =
        |i: Option<usize>| i.and_then(|i| times_s.get(i)).copied().unwrap_or(event.time_s);
    let (hands2, id, state2) = (hands.clone(), trial.id, state.clone());
    html! {
        <section class="chosen-event" aria-label="Chosen event">
            <p><b>{ format!("{}, {}", kind_name(event.kind), side_name(event.side)) }</b>{ format!(" at {:.3} s, ± {:.0} ms", event.time_s, event.sd_s * 1000.0) }</p>
            <div class="row">
                { move_to(neighbour(frame.checked_sub(1)), "One frame earlier") }
                { move_to(neighbour(Some(frame + 1)), "One frame later") }
                { move_to(here_s, "Put at this frame") }
                <button onclick={move |_| {
                    hands2.change(id, TrialCommand::EditEvent(EventEdit::Remove { side: event.side, kind: event.kind, at_s: event.time_s }));
                    state2.set(None);
                }}>{ "Take out" }</button>
            </div>
        </section>
    }
}

fn add_part(hands: &Hands, trial: &Rc<Trial>, at_s: f64) -> Html {
    let add = |kind: EventKind, label: &'static str| {
        let (hands, id) = (hands.clone(), trial.id);
        html! {
            <button onclick={move |_| hands.change(id, TrialCommand::EditEvent(EventEdit::Add { side: Side::Near, kind, at_s }))}>{ label }</button>
        }
    };
    html! {
        <div class="row">
            { add(EventKind::Contact, "Add a contact of the near foot here") }
            { add(EventKind::ToeOff, "Add a toe-off of the near foot here") }
        </div>
    }
}

#[derive(Properties, PartialEq)]
struct StripViewProps {
    strip: Rc<Strip>,
    here_s: f64,
    chosen: Option<GaitEvent>,
    on_choose: Callback<GaitEvent>,
    on_moved: Callback<GaitEvent>,
    trial: Rc<Trial>,
}

/// The time line: contact filled, swing open, a tick an event.
#[component]
fn StripView(props: &StripViewProps) -> Html {
    let hands = use_hands();
    let drag = use_state_eq(|| None::<(GaitEvent, f64)>);
    let svg = use_node_ref();
    let strip = &props.strip;
    let height = 40 * strip.legs.len().max(1);
    let on_move = {
        let (drag, svg, strip) = (drag.clone(), svg.clone(), Rc::clone(strip));
        Callback::from(move |event: PointerEvent| {
            if let (Some((held, _)), Some(time_s)) = (*drag, time_under(&svg, &strip, &event)) {
                drag.set(Some((held, time_s)));
            }
        })
    };
    let on_up = let_go(&hands, props, &drag);
    let row = |index: usize, leg: &Leg| {
        let top = 40 * index;
        html! {
            <g class={classes!("leg", leg.is_mirrored.then_some("mirrored"))}>
                { for leg.spans.iter().map(|s| html! {
                    <rect class={if s.phase == BarPhase::Contact { "contact" } else { "swing" }} x={s.from_px.to_string()} y={(top + 10).to_string()}
                        width={(s.to_px - s.from_px).max(0.0).to_string()} height="20" />
                }) }
                { for leg.ticks.iter().map(|t| tick(t, top, props, &drag, strip)) }
            </g>
        }
    };
    let here = strip.at_px(props.here_s);
    html! {
        <svg ref={svg} class="strip events-strip" viewBox={format!("0 0 {WIDE} {height}")} preserveAspectRatio="none" role="group"
            aria-label="Contacts and toe-offs along the time line" onpointermove={on_move} onpointerup={on_up}>
            { for strip.legs.iter().enumerate().map(|(i, leg)| row(i, leg)) }
            <path class="here" d={format!("M{here} 0V{height}")} />
        </svg>
    }
}

/// The time under the pointer.
fn time_under(svg: &NodeRef, strip: &Strip, event: &PointerEvent) -> Option<f64> {
    let rect = svg.cast::<Element>()?.get_bounding_client_rect();
    (rect.width() > 0.0).then(|| strip.at_s((event.client_x() - rect.left()) / rect.width() * WIDE))
}

/// Lets go of an event: it moves to the nearest frame; one that was only pressed is chosen.
fn let_go(
    hands: &Hands,
    props: &StripViewProps,
    drag: &UseStateHandle<Option<(GaitEvent, f64)>>,
) -> Callback<PointerEvent> {
    let (drag, hands, id) = (drag.clone(), hands.clone(), props.trial.id);
    let (on_moved, on_choose, times_s) =
        (props.on_moved.clone(), props.on_choose.clone(), props.trial.times_s());
    Callback::from(move |_: PointerEvent| {
        if let Some((held, to_s)) = *drag {
            let to_s = times_s.get(frame_at(&times_s, to_s) as usize).copied().unwrap_or(to_s);
            let steps = times_s.iter().zip(times_s.iter().skip(1)).map(|(a, b)| b - a);
            // Less than a frame is a press, not a move.
            if (to_s - held.time_s).abs() > steps.fold(f64::INFINITY, f64::min) {
                hands.change(id, TrialCommand::EditEvent(move_of(held, to_s)));
                on_moved.emit(GaitEvent { time_s: to_s, ..held });
            } else {
                on_choose.emit(held);
            }
        }
        drag.set(None);
    })
}

fn move_of(event: GaitEvent, to_s: f64) -> EventEdit {
    EventEdit::Move { side: event.side, kind: event.kind, from_s: event.time_s, to_s }
}

fn tick(
    tick: &EventTick,
    top: usize,
    props: &StripViewProps,
    drag: &UseStateHandle<Option<(GaitEvent, f64)>>,
    strip: &Strip,
) -> Html {
    let event = tick.event;
    let held = (**drag).filter(|(e, _)| *e == event);
    let x = held.map_or(tick.x_px, |(_, to_s)| strip.at_px(to_s));
    let chosen = props.chosen == Some(event);
    let label = format!(
        "{}, {}, at {:.3} seconds",
        kind_name(event.kind),
        side_name(event.side),
        event.time_s
    );
    if !tick.is_movable {
        return html! { <path class="tick mirrored" d={format!("M{x} {top}V{}", top + 40)} /> };
    }
    let (drag, on_choose) = (drag.clone(), props.on_choose.clone());
    let press = Callback::from(move |pointer: PointerEvent| {
        pointer.prevent_default();
        drag.set(Some((event, event.time_s)));
        // The gesture stays with the time line.
        if let Some(svg) = pointer
            .target()
            .and_then(|t| t.dyn_into::<Element>().ok())
            .and_then(|t| t.closest("svg").ok().flatten())
        {
            let _ = svg.set_pointer_capture(pointer.pointer_id());
        }
    });
    let key = Callback::from(move |key: KeyboardEvent| {
        if key.key() == "Enter" || key.key() == " " {
            key.prevent_default();
            on_choose.emit(event);
        }
    });
    html! {
        <g class={classes!("tick", chosen.then_some("chosen"), (event.kind == EventKind::ToeOff).then_some("toe-off"))} role="button" tabindex="0"
            aria-label={label} aria-pressed={chosen.to_string()} onpointerdown={press} onkeydown={key}>
            <rect class="reach" x={(x - 8.0).to_string()} y={top.to_string()} width="16" height="40" />
            <path d={format!("M{x} {top}V{}", top + 40)} />
        </g>
    }
}
