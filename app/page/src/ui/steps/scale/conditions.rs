//! Direction, surface, speed and frame rate of a trial.

use crate::ui::actions::use_actions;
use crate::ui::components::{Answer, Choice, NumberField};
use crate::ui::sentences;
use document::session::{ClipCalibration, Conditions, Trial, TrialCommand};
use mechanics::limits::SPEED;
use mechanics::space::Direction;
use std::rc::Rc;
use yew::prelude::*;

const DIRECTIONS: [Answer; 2] = [
    Answer::new("To the right", "the near side is the runner's right"),
    Answer::new("To the left", "the near side is the runner's left"),
];
const SURFACES: [Answer; 2] = [
    Answer::new("On a belt", "the body stays in place"),
    Answer::new("On the ground", "a camera that follows needs a wall or a fence behind"),
];

#[derive(Properties, PartialEq)]
pub struct TrialProps {
    /// The trial.
    pub trial: Rc<Trial>,
}

/// The direction of running.
#[component]
pub fn DirectionChoice(props: &TrialProps) -> Html {
    let actions = use_actions();
    let (id, before) = (props.trial.id, props.trial.calibration);
    let chosen = before.direction.map(|d| usize::from(d == Direction::Left));
    let choose = Callback::from(move |index: usize| {
        let direction = Some(if index == 0 { Direction::Right } else { Direction::Left });
        let calibration = ClipCalibration { direction, ..before };
        actions.change_trial(id, TrialCommand::Calibrate(calibration));
    });
    html! { <Choice legend="Which way does the runner go?" answers={DIRECTIONS.to_vec()} {chosen} on_choose={choose} /> }
}

/// Surface, speed, and the frame rate while filming.
#[component]
pub fn FilmingFields(props: &TrialProps) -> Html {
    let actions = use_actions();
    let (trial, conditions) = (&props.trial, &props.trial.conditions);
    let set_conditions = {
        let (actions, id) = (actions.clone(), trial.id);
        Callback::from(move |conditions: Conditions| {
            actions.change_trial(id, TrialCommand::SetConditions(conditions));
        })
    };
    let set_surface = {
        let (set, before) = (set_conditions.clone(), conditions.clone());
        Callback::from(move |index: usize| {
            set.emit(Conditions { on_belt: index == 0, ..before.clone() });
        })
    };
    let set_speed = {
        let before = conditions.clone();
        Callback::from(move |speed_m_s: Option<f64>| {
            set_conditions.emit(Conditions { speed_m_s, ..before.clone() });
        })
    };
    let set_rate = {
        let (id, before) = (trial.id, trial.calibration);
        Callback::from(move |filmed_rate_hz: Option<f64>| {
            let calibration = ClipCalibration { filmed_rate_hz, ..before };
            actions.change_trial(id, TrialCommand::Calibrate(calibration));
        })
    };
    let rate_help = trial.clip.info.stamped_rate_hz().map(sentences::scale::rate_help);
    html! {
        <>
            <Choice legend="Where?" answers={SURFACES.to_vec()} chosen={Some(usize::from(!conditions.on_belt))} on_choose={set_surface} />
            <NumberField label="Speed (m/s)" value_shown={conditions.speed_m_s} min_shown={SPEED.least_si} max_shown={SPEED.most_si} on_change={set_speed}
                help="What the belt shows, or what you timed. km/h divided by 3.6." />
            <NumberField label="Filmed at (frames/s)" value_shown={trial.calibration.filmed_rate_hz} min_shown=10.0 max_shown=2000.0
                on_change={set_rate.clone()} help={rate_help.unwrap_or_default()} />
            { rate_in_file(trial, set_rate) }
        </>
    }
}

/// The offer to use the frame rate that the file names, if none is entered.
fn rate_in_file(trial: &Trial, set_rate: Callback<Option<f64>>) -> Html {
    let in_file = trial.clip.info.other_rate_hz();
    let Some(rate_hz) = in_file.filter(|_| trial.calibration.filmed_rate_hz.is_none()) else {
        return Html::default();
    };
    html! {
        <div class="row"><p>{ sentences::scale::rate_in_file(rate_hz) }</p>
        <button onclick={move |_| set_rate.emit(Some(rate_hz))}>{ sentences::scale::use_rate(rate_hz) }</button></div>
    }
}
