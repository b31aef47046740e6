//! The guide: the landmark to place next, its position on the body, and the list of all landmarks.

use super::choices::{ModeChoice, SetChoice};
use super::placed_patch::PlacedPatch;
use crate::ui::actions::use_actions;
use crate::ui::components::BodyDrawing;
use crate::ui::sentences::landmark as words;
use crate::ui::store::ViewChange;
use document::session::Trial;
use mechanics::body::Landmark;
use mechanics::space::Direction;
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct GuidePanelProps {
    /// The trial.
    pub trial: Rc<Trial>,
    /// The landmark that the next press places.
    pub chosen: Option<Landmark>,
    /// The frame at rest.
    pub frame: u32,
    /// Whether the clip is open.
    pub is_clip_open: bool,
}

/// The guide.
#[component]
pub fn GuidePanel(props: &GuidePanelProps) -> Html {
    let trial = &props.trial;
    let landmarks = trial.marker_set.landmarks();
    let placed = landmarks.iter().copied().filter(|l| has_mark(trial, *l)).collect::<Vec<_>>();
    let faces_left = trial.calibration.direction == Some(Direction::Left);
    html! {
        <section class="guide" aria-label="Landmarks">
            <div class="guide-now">
                <BodyDrawing landmark={props.chosen} {placed} {faces_left} />
                <div>
                    { current(landmarks, props.chosen) }
                    if let Some(landmark) = props.chosen {
                        <ModeChoice trial={Rc::clone(trial)} {landmark} />
                        if props.is_clip_open {
                            <PlacedPatch trial={Rc::clone(trial)} {landmark} frame={props.frame} />
                        }
                    }
                </div>
            </div>
            <LandmarkList trial={Rc::clone(trial)} chosen={props.chosen} />
            <details>
                <summary>{ "Which landmarks?" }</summary>
                <SetChoice trial={Rc::clone(trial)} />
            </details>
        </section>
    }
}

fn has_mark(trial: &Trial, landmark: Landmark) -> bool {
    trial.tracks.get(&landmark).is_some_and(|t| !t.keyframes.is_empty())
}

/// The landmark to place and its position on the body.
fn current(landmarks: &[Landmark], chosen: Option<Landmark>) -> Html {
    let Some(landmark) = chosen else {
        return html! { <p class="now"><b>{ words::ALL_PLACED }</b></p> };
    };
    let number = landmarks.iter().position(|l| *l == landmark).map_or(0, |i| i + 1);
    html! {
        <>
            <p class="now"><b>{ words::to_place(landmark, number, landmarks.len()) }</b></p>
            <p class="quiet">{ words::position(landmark) }</p>
        </>
    }
}

#[derive(Properties, PartialEq)]
struct LandmarkListProps {
    trial: Rc<Trial>,
    chosen: Option<Landmark>,
}

/// All landmarks of the set; a press chooses one.
#[component]
fn LandmarkList(props: &LandmarkListProps) -> Html {
    let actions = use_actions();
    let item = |landmark: Landmark| {
        let (actions, has_mark) = (actions.clone(), has_mark(&props.trial, landmark));
        html! {
            <li><button class={classes!("landmark", has_mark.then_some("has-mark"))} aria-pressed={(props.chosen == Some(landmark)).to_string()}
                aria-label={words::in_list(landmark, has_mark)}
                onclick={move |_| actions.change_view(ViewChange::Landmark(Some(landmark)))}>
                <span class="mark-state" aria-hidden="true"></span>{ words::name(landmark) }
            </button></li>
        }
    };
    html! { <ol class="landmarks">{ for props.trial.marker_set.landmarks().iter().copied().map(item) }</ol> }
}
