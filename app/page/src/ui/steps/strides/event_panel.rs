//! Moves, removes and adds contacts and toe-offs.

use super::nearest_frame::nearest_frame;
use crate::ui::actions::use_actions;
use crate::ui::sentences;
use document::session::{Trial, TrialCommand, TrialId};
use mechanics::gait::{EventEdit, EventKind, GaitEvent};
use mechanics::space::Side;
use std::rc::Rc;
use yew::prelude::*;

/// The edit that moves an event.
#[must_use]
pub fn moved(event: GaitEvent, to_s: f64) -> EventEdit {
    EventEdit::Move { side: event.side, kind: event.kind, from_s: event.time_s, to_s }
}

#[derive(Properties, PartialEq)]
pub struct EventPanelProps {
    /// The trial.
    pub trial: Rc<Trial>,
    /// The chosen event.
    pub event: Option<GaitEvent>,
    /// Called once the event is changed or removed.
    pub on_changed: Callback<()>,
    /// Time of the frame at rest.
    pub frame_s: f64,
    /// Times of all frames.
    pub times_s: Rc<[f64]>,
}

/// The chosen event with buttons that move and remove it.
#[component]
pub fn EventPanel(props: &EventPanelProps) -> Html {
    let actions = use_actions();
    let Some(event) = props.event else {
        return html! { <p class="quiet">{ sentences::strides::CHOOSE_EVENT }</p> };
    };
    let button = |label: &'static str, edit: EventEdit| {
        let (actions, id, on_changed) = (actions.clone(), props.trial.id, props.on_changed.clone());
        let onclick = Callback::from(move |_: MouseEvent| {
            actions.change_trial(id, TrialCommand::EditEvent(edit));
            on_changed.emit(());
        });
        html! { <button {onclick}>{ label }</button> }
    };
    let frame = nearest_frame(&props.times_s, event.time_s) as usize;
    let time_of = |frame: Option<usize>| {
        frame.and_then(|f| props.times_s.get(f)).copied().unwrap_or(event.time_s)
    };
    let remove = EventEdit::Remove { side: event.side, kind: event.kind, at_s: event.time_s };
    html! {
        <section class="chosen-event" aria-label="Chosen event">
            <p><b>{ sentences::strides::event(event) }</b>{ " " }{ sentences::strides::event_time(event) }</p>
            <div class="row">
                { button("One frame earlier", moved(event, time_of(frame.checked_sub(1)))) }
                { button("One frame later", moved(event, time_of(Some(frame + 1)))) }
                { button("Put at this frame", moved(event, props.frame_s)) }
                { button("Take out", remove) }
            </div>
        </section>
    }
}

#[derive(Properties, PartialEq)]
pub struct AddEventProps {
    /// The trial.
    pub trial: TrialId,
    /// Time of the frame at rest.
    pub at_s: f64,
}

/// Buttons that add an event of the near foot at the frame at rest.
#[component]
pub fn AddEvent(props: &AddEventProps) -> Html {
    let actions = use_actions();
    let AddEventProps { trial, at_s } = *props;
    let button = |kind: EventKind, label: &'static str| {
        let actions = actions.clone();
        let add = EventEdit::Add { side: Side::Near, kind, at_s };
        html! { <button onclick={move |_| actions.change_trial(trial, TrialCommand::EditEvent(add))}>{ label }</button> }
    };
    html! {
        <div class="row">
            { button(EventKind::Contact, "Add a contact of the near foot here") }
            { button(EventKind::ToeOff, "Add a toe-off of the near foot here") }
        </div>
    }
}
