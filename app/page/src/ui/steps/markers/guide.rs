//! Which landmark is next, where it sits on the body, what the marker is, and the list of all.

use super::placed::PlacedLook;
use crate::ui::actions::use_hands;
use crate::ui::components::{BodyDrawing, Choice, name_of, place_of};
use crate::ui::store::Look;
use document::session::{MarkerMode, Trial, TrialCommand};
use mechanics::body::{Landmark, MarkerSet};
use mechanics::space::Direction;
use std::rc::Rc;
use yew::prelude::*;

/// The mode of the landmark's track; for a new one, the mode last used.
#[must_use]
pub fn mode_for(trial: &Trial, chosen: Option<Landmark>) -> MarkerMode {
    chosen
        .and_then(|l| trial.tracks.get(&l))
        .or_else(|| trial.tracks.values().next_back())
        .map_or(MarkerMode::Sticker, |t| t.mode)
}

#[derive(Properties, PartialEq)]
pub struct GuidePartProps {
    /// The trial.
    pub trial: Rc<Trial>,
    /// The landmark that the next press is for.
    pub chosen: Option<Landmark>,
    /// The frame at rest.
    pub frame: u32,
    /// Whether the clip is there to be looked at.
    pub in_hand: bool,
}

const SETS: [(MarkerSet, &str, &str); 3] = [
    (MarkerSet::Legs, "Legs", "six marks: the near leg and the shoulder"),
    (
        MarkerSet::NearSide,
        "Near side",
        "nine marks; the far side is taken as the near side half a stride later",
    ),
    (MarkerSet::BothSides, "Both sides", "seventeen marks"),
];

/// The guide.
#[component]
pub fn GuidePart(props: &GuidePartProps) -> Html {
    let hands = use_hands();
    let trial = &props.trial;
    let landmarks = trial.marker_set.landmarks();
    let has_mark = |l: Landmark| trial.tracks.get(&l).is_some_and(|t| !t.keyframes.is_empty());
    let placed: Vec<Landmark> = landmarks.iter().copied().filter(|l| has_mark(*l)).collect();
    let to_the_left = trial.calibration.direction == Some(Direction::Left);
    let told = match props.chosen {
        Some(l) => {
            let number = landmarks.iter().position(|x| *x == l).map_or(0, |i| i + 1);
            html! {
                <>
                    <p class="now"><b>{ format!("{number} of {}: {}", landmarks.len(), name_of(l)) }</b></p>
                    <p class="quiet">{ format!("It sits on {}.", place_of(l)) }</p>
                </>
            }
        }
        None => {
            html! { <p class="now"><b>{ "Every landmark has its mark. Press near a mark to move it." }</b></p> }
        }
    };
    html! {
        <section class="guide" aria-label="Landmarks">
            <div class="guide-now">
                <BodyDrawing landmark={props.chosen} {placed} {to_the_left} />
                <div>
                    { told }
                    if let Some(landmark) = props.chosen {
                        <ModeChoice trial={Rc::clone(trial)} {landmark} />
                        if props.in_hand {
                            <PlacedLook trial={Rc::clone(trial)} {landmark} frame={props.frame} />
                        }
                    }
                </div>
            </div>
            <ol class="landmarks">
                { for landmarks.iter().map(|l| {
                    let (hands, landmark) = (hands.clone(), *l);
                    let has = has_mark(landmark);
                    html! {
                        <li><button class={classes!("landmark", has.then_some("has-mark"))} aria-pressed={(props.chosen == Some(landmark)).to_string()}
                            aria-label={format!("{}{}", name_of(landmark), if has { ", marked" } else { "" })}
                            onclick={move |_| hands.look(Look::Landmark(Some(landmark)))}>
                            <span class="certain" aria-hidden="true"></span>{ name_of(landmark) }
                        </button></li>
                    }
                }) }
            </ol>
            <details>
                <summary>{ "Which landmarks?" }</summary>
                <SetChoice trial={Rc::clone(trial)} />
            </details>
        </section>
    }
}

#[derive(Properties, PartialEq)]
struct ModeChoiceProps {
    trial: Rc<Trial>,
    landmark: Landmark,
}

/// A sticker, or skin and cloth.
#[component]
fn ModeChoice(props: &ModeChoiceProps) -> Html {
    let hands = use_hands();
    let (id, landmark) = (props.trial.id, props.landmark);
    let chosen = mode_for(&props.trial, Some(landmark));
    let has_track = props.trial.tracks.contains_key(&landmark);
    let choose = Callback::from(move |index: usize| {
        let mode = if index == 0 { MarkerMode::Sticker } else { MarkerMode::Skin };
        if has_track {
            hands.change(id, TrialCommand::SetMode(landmark, mode));
        }
    });
    let answers = vec![
        ("Sticker".into(), "marked in its middle, followed by its own pattern".into()),
        ("Skin or cloth".into(), "followed by how it moves on".into()),
    ];
    if !has_track {
        return Html::default();
    }
    html! { <Choice legend="What is marked there?" {answers} chosen={Some(usize::from(chosen == MarkerMode::Skin))} on_choose={choose} /> }
}

#[derive(Properties, PartialEq)]
struct SetChoiceProps {
    trial: Rc<Trial>,
}

/// Which landmarks are marked.
#[component]
fn SetChoice(props: &SetChoiceProps) -> Html {
    let hands = use_hands();
    let id = props.trial.id;
    let chosen = SETS.iter().position(|(set, ..)| *set == props.trial.marker_set);
    let choose = Callback::from(move |index: usize| {
        if let Some((set, ..)) = SETS.get(index) {
            hands.change(id, TrialCommand::ChooseMarkers(*set));
            hands.look(Look::Landmark(None));
        }
    });
    let answers =
        SETS.iter().map(|(_, name, word)| ((*name).into(), (*word).into())).collect::<Vec<_>>();
    html! { <Choice legend="Which landmarks are marked?" {answers} {chosen} on_choose={choose} /> }
}
