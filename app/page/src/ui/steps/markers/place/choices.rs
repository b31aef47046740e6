//! The choices of the guide: sticker or skin, and the set of landmarks.

use super::mark::mode_for;
use crate::ui::actions::use_actions;
use crate::ui::components::{Answer, Choice};
use crate::ui::store::ViewChange;
use document::session::{MarkerMode, Trial, TrialCommand};
use mechanics::body::{Landmark, MarkerSet};
use std::rc::Rc;
use yew::prelude::*;

const MODES: [Answer; 2] = [
    Answer::new("Sticker", "marked in its middle, followed by its own pattern"),
    Answer::new("Skin or cloth", "followed by how it moves on"),
];
const SETS: [(MarkerSet, Answer); 3] = [
    (MarkerSet::Legs, Answer::new("Legs", "six marks: the near leg and the shoulder")),
    (
        MarkerSet::NearSide,
        Answer::new(
            "Near side",
            "nine marks; the far side is taken as the near side half a stride later",
        ),
    ),
    (MarkerSet::BothSides, Answer::new("Both sides", "seventeen marks")),
];

#[derive(Properties, PartialEq)]
pub struct ModeChoiceProps {
    /// The trial.
    pub trial: Rc<Trial>,
    /// The landmark.
    pub landmark: Landmark,
}

/// Whether a landmark has a sticker; nothing while it has no mark.
#[component]
pub fn ModeChoice(props: &ModeChoiceProps) -> Html {
    let actions = use_actions();
    let (id, landmark) = (props.trial.id, props.landmark);
    let mode = mode_for(&props.trial, Some(landmark));
    if !props.trial.tracks.contains_key(&landmark) {
        return Html::default();
    }
    let choose = Callback::from(move |index: usize| {
        let mode = if index == 0 { MarkerMode::Sticker } else { MarkerMode::Skin };
        actions.change_trial(id, TrialCommand::SetMode(landmark, mode));
    });
    html! { <Choice legend="What is marked there?" answers={MODES.to_vec()} chosen={Some(usize::from(mode == MarkerMode::Skin))} on_choose={choose} /> }
}

#[derive(Properties, PartialEq)]
pub struct SetChoiceProps {
    /// The trial.
    pub trial: Rc<Trial>,
}

/// The landmarks to mark.
#[component]
pub fn SetChoice(props: &SetChoiceProps) -> Html {
    let actions = use_actions();
    let id = props.trial.id;
    let chosen = SETS.iter().position(|(set, _)| *set == props.trial.marker_set);
    let choose = Callback::from(move |index: usize| {
        if let Some((set, _)) = SETS.get(index) {
            actions.change_trial(id, TrialCommand::ChooseMarkers(*set));
            actions.change_view(ViewChange::Landmark(None));
        }
    });
    let answers: Vec<Answer> = SETS.iter().map(|(_, answer)| answer.clone()).collect();
    html! { <Choice legend="Which landmarks are marked?" {answers} {chosen} on_choose={choose} /> }
}
