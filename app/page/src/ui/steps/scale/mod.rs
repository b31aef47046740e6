//! The step Scale: how long is one metre in this picture, what is upright, and how fast was it filmed?

mod conditions;
mod drawing;
mod line;
mod line_view;
mod runner_fields;
mod scale_panel;

use super::clip_picture::ask_for_clip;
use super::props::StepProps;
use crate::ui::actions::use_actions;
use crate::ui::components::StepScreen;
use crate::ui::stage::{Stage, Transport};
use crate::ui::store::Step;
use conditions::{DirectionChoice, FilmingFields};
use drawing::{DrawingTarget, use_drawing};
use line_view::calibration_lines;
use runner_fields::RunnerFields;
use scale_panel::ScalePanel;
use std::rc::Rc;
use yew::prelude::*;

const PICTURE_LABEL: &str = "Picture: drag from one end of a known length to the other; arrow keys move the end last touched";

/// The step.
#[component]
pub fn ScaleStep(props: &StepProps) -> Html {
    let actions = use_actions();
    let (trial, frame) = (&props.trial, props.view.frame);
    let drawing = use_drawing(trial.calibration.scale.is_none());
    let calibration = trial.calibration.seen_in(frame, trial.camera.as_deref());
    let target = DrawingTarget { actions, trial: trial.id, calibration, frame };
    let overlay = {
        let (dragged, width_px) = (*drawing.dragged, f64::from(trial.clip.info.width_px));
        Callback::from(move |_| calibration_lines(&calibration, dragged, width_px))
    };
    let picture = if props.is_clip_open() {
        html! {
            <>
                <Stage trial={Rc::clone(trial)} {frame} has_loupe=true overlay={Some(overlay)}
                    on_gesture={Some(drawing.gestures(&target))} on_key={Some(drawing.keys(&target))}
                    key_mark={drawing.selected.map(|line| line.held_end())} label={PICTURE_LABEL} />
                <Transport trial={Rc::clone(trial)} {frame} />
            </>
        }
    } else {
        ask_for_clip(props)
    };
    html! {
        <StepScreen question="How long is one metre in this picture?" session={Rc::clone(&props.session)} trial={trial.id}
            {picture} next={Step::Markers}>
            <ScalePanel trial={Rc::clone(trial)} tool={drawing.tool.clone()} selected={drawing.selected.clone()} />
            <DirectionChoice trial={Rc::clone(trial)} />
            <FilmingFields trial={Rc::clone(trial)} />
            <h2>{ "The runner" }</h2>
            <RunnerFields runner={props.session.runner.clone()} />
        </StepScreen>
    }
}
