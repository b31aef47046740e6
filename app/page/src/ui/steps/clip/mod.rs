//! The step Clip: is this the clip, and can it be measured?

mod facts;

use super::clip_picture::{ask_for_clip, plain_picture};
use super::props::StepProps;
use crate::ui::actions::use_actions;
use crate::ui::components::{StepScreen, TextField};
use crate::ui::home::{ClipCopy, OpenClipsButton, SaveSession};
use crate::ui::store::Step;
use document::session::{Command, Conditions, Trial, TrialCommand};
use facts::ClipFacts;
use std::rc::Rc;
use yew::prelude::*;

/// The step.
#[component]
pub fn ClipStep(props: &StepProps) -> Html {
    let actions = use_actions();
    let trial = &props.trial;
    let remove = {
        let id = trial.id;
        Callback::from(move |_: MouseEvent| {
            // The next clip may take the number of this trial, and must not get what tracking still finds of it.
            actions.conductor.stop_following(Some(id));
            actions.apply(Command::RemoveTrial(id));
        })
    };
    let picture =
        if props.is_clip_open() { plain_picture(props, None) } else { ask_for_clip(props) };
    html! {
        <StepScreen question="Is this the clip, and can it be measured?" session={Rc::clone(&props.session)} trial={trial.id}
            {picture} next={Step::Scale}>
            <ClipFacts trial={Rc::clone(trial)} />
            <TrialFields trial={Rc::clone(trial)} />
            <ClipCopy trial={Rc::clone(trial)} is_open={props.is_clip_open()} />
            <div class="row">
                <OpenClipsButton is_multiple=true />
                <button onclick={remove}>{ "Take this clip out" }</button>
                <SaveSession session={Rc::clone(&props.session)} />
            </div>
        </StepScreen>
    }
}

#[derive(Properties, PartialEq)]
struct TrialFieldsProps {
    trial: Rc<Trial>,
}

/// The name of the trial, what the runner was asked to do, and the shoes.
#[component]
fn TrialFields(props: &TrialFieldsProps) -> Html {
    let actions = use_actions();
    let trial = &props.trial;
    let rename = {
        let (actions, id) = (actions.clone(), trial.id);
        Callback::from(move |name: String| {
            if !name.trim().is_empty() {
                actions.change_trial(id, TrialCommand::Rename(name));
            }
        })
    };
    let set_conditions = |change: fn(&mut Conditions, String)| {
        let (actions, trial) = (actions.clone(), Rc::clone(trial));
        Callback::from(move |text: String| {
            let mut conditions = trial.conditions.clone();
            change(&mut conditions, text);
            actions.change_trial(trial.id, TrialCommand::SetConditions(conditions));
        })
    };
    html! {
        <>
            <TextField label="Name of this way of running" value={trial.name.clone()} on_change={rename} />
            <TextField label="What the runner was asked to do" value={trial.conditions.cue.clone()} on_change={set_conditions(|c, text| c.cue = text)} />
            <TextField label="Shoes" value={trial.conditions.shoes.clone()} on_change={set_conditions(|c, text| c.shoes = text)} />
        </>
    }
}
