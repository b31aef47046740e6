//! The cut-off frequency of the low-pass filter: how it is chosen, and what was chosen.

use crate::ui::actions::use_actions;
use crate::ui::components::{Answer, Choice, CurvesView, NumberField, Shared};
use crate::ui::sentences;
use document::results::TrialResult;
use document::results::chart::residual_curves;
use document::results::scene::Area;
use document::session::{Command, CutoffChoice, Options};
use mechanics::limits::CUTOFF;
use yew::prelude::*;

/// The fixed cut-off that is offered first. Chosen: in the middle of the 5 to 12 Hz of the residual analysis.
const FIRST_FIXED_HZ: f64 = 8.0;
const AUTOMATIC: usize = 0;
const ANSWERS: [Answer; 2] = [
    Answer::new("Chosen by residual analysis", "marker by marker, from the clip itself"),
    Answer::new("Fixed", "the same for every marker"),
];

#[derive(Properties, PartialEq)]
pub struct LowPassProps {
    /// The options of the session, which apply to all of its trials.
    pub options: Options,
}

/// The choice between a cut-off for each marker and a fixed one.
#[component]
pub fn LowPass(props: &LowPassProps) -> Html {
    let actions = use_actions();
    let fixed_hz = match props.options.cutoff {
        CutoffChoice::Automatic => None,
        CutoffChoice::Fixed { cutoff_hz } => Some(cutoff_hz),
    };
    let set = Callback::from(move |cutoff: CutoffChoice| {
        actions.apply(Command::SetOptions(Options { cutoff }));
    });
    let choose = {
        let set = set.clone();
        Callback::from(move |index: usize| {
            let fixed = CutoffChoice::Fixed { cutoff_hz: FIRST_FIXED_HZ };
            set.emit(if index == AUTOMATIC { CutoffChoice::Automatic } else { fixed });
        })
    };
    let enter = Callback::from(move |value: Option<f64>| {
        if let Some(cutoff_hz) = value {
            set.emit(CutoffChoice::Fixed { cutoff_hz });
        }
    });
    html! {
        <details>
            <summary>{ "Low-pass filter" }</summary>
            <Choice legend="Cut-off" answers={ANSWERS.to_vec()} chosen={Some(usize::from(fixed_hz.is_some()))} on_choose={choose} />
            if let Some(hz) = fixed_hz {
                <NumberField label="Cut-off (Hz)" value_shown={Some(hz)} min_shown={CUTOFF.least_si} max_shown={CUTOFF.most_si} on_change={enter} />
            }
        </details>
    }
}

#[derive(Properties, PartialEq)]
pub struct CutoffPlotsProps {
    /// The result with its residuals.
    pub result: Shared<TrialResult>,
}

const PLOT_AREA: Area = Area { width_px: 320.0, height_px: 140.0 };

/// The plots from which each marker's cut-off was chosen; drawn once they are opened.
#[component]
pub fn CutoffPlots(props: &CutoffPlotsProps) -> Html {
    let is_open = use_state_eq(|| false);
    let analysed = match &*props.result {
        Ok(analysed) if !analysed.analysis.residuals.is_empty() => analysed,
        _ => return Html::default(),
    };
    let ontoggle = {
        let is_open = is_open.clone();
        Callback::from(move |event: Event| {
            let details = event.target_dyn_into::<web_sys::Element>();
            is_open.set(details.is_some_and(|d| d.has_attribute("open")));
        })
    };
    html! {
        <details class="cutoffs" {ontoggle}>
            <summary>{ "How each marker's cut-off was chosen" }</summary>
            if *is_open {
                <p>{ sentences::results::CUTOFF_METHOD }</p>
                { for residual_curves(analysed, PLOT_AREA).into_iter().map(|curves| html! { <CurvesView {curves} area={PLOT_AREA} /> }) }
            }
        </details>
    }
}
