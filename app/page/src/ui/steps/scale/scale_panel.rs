//! The tools that draw the scale and the vertical, and the length of the scale.

use super::line::{HeldLine, LineKind};
use crate::ui::actions::use_actions;
use crate::ui::components::NumberField;
use crate::ui::sentences;
use document::session::{ClipCalibration, Scale, Trial, TrialCommand, VerticalKind};
use std::rc::Rc;
use yew::prelude::*;

/// The lines that can be drawn, with the button of each.
const TOOLS: [(LineKind, &str); 3] = [
    (LineKind::Scale, "Mark the scale"),
    (LineKind::Vertical(VerticalKind::Plumb), "Mark a plumb line"),
    (LineKind::Vertical(VerticalKind::Ground), "Mark the ground line"),
];

#[derive(Properties, PartialEq)]
pub struct ScalePanelProps {
    /// The trial to calibrate.
    pub trial: Rc<Trial>,
    /// The kind of line that the next press begins.
    pub tool: UseStateHandle<Option<LineKind>>,
    /// The line that the keys move; none once a tool is chosen.
    pub selected: UseStateHandle<Option<HeldLine>>,
}

/// The tools, the state of the calibration, and the length of the scale.
#[component]
pub fn ScalePanel(props: &ScalePanelProps) -> Html {
    let actions = use_actions();
    let calibration = props.trial.calibration;
    let set_length = {
        let id = props.trial.id;
        Callback::from(move |length: Option<f64>| {
            if let (Some(scale), Some(length_m)) = (calibration.scale, length) {
                let scale = Some(Scale { length_m, ..scale });
                let changed = ClipCalibration { scale, ..calibration };
                actions.change_trial(id, TrialCommand::Calibrate(changed));
            }
        })
    };
    html! {
        <>
            <div class="row">{ for TOOLS.iter().map(|(kind, label)| tool_button(props, *kind, label)) }</div>
            <p role="status">{ scale_sentence(calibration.scale, *props.tool) }{ " " }{ sentences::scale::vertical(calibration.vertical) }</p>
            if let Some(scale) = calibration.scale {
                <NumberField label="Length in metres" value_shown={Some(scale.length_m)} min_shown=0.05 max_shown=50.0 on_change={set_length} />
            }
        </>
    }
}

/// A button that chooses a tool, or puts it away.
fn tool_button(props: &ScalePanelProps, kind: LineKind, label: &'static str) -> Html {
    let (tool, selected) = (props.tool.clone(), props.selected.clone());
    let is_chosen = *tool == Some(kind);
    let onclick = move |_| {
        tool.set((!is_chosen).then_some(kind));
        selected.set(None);
    };
    html! { <button aria-pressed={is_chosen.to_string()} {onclick}>{ label }</button> }
}

/// What to do with the chosen tool, or what the scale is.
fn scale_sentence(scale: Option<Scale>, tool: Option<LineKind>) -> String {
    use sentences::scale;
    match (tool, scale) {
        (Some(LineKind::Scale), _) => scale::DRAW_SCALE.to_owned(),
        (Some(LineKind::Vertical(VerticalKind::Plumb)), _) => scale::DRAW_PLUMB.to_owned(),
        (Some(LineKind::Vertical(VerticalKind::Ground)), _) => scale::DRAW_GROUND.to_owned(),
        (None, None) => scale::NO_SCALE.to_owned(),
        (None, Some(line)) => scale::scale(line),
    }
}
