//! The step Ledger: what does a stride cost? The numbers of one trial with what they mean.

mod cutoff;
mod exports;

use super::props::ResultProps;
use crate::ui::components::{
    MissingList, StepScreen, TableView, energy_bars_view, footnotes, ledger_table, measure_tables,
    stride_curves,
};
use crate::ui::sentences;
use crate::ui::store::Step;
use cutoff::{CutoffPlots, LowPass};
use document::results::TrialAnalysis;
use document::results::report;
use exports::Exports;
use std::rc::Rc;
use yew::prelude::*;

/// The step.
#[component]
pub fn LedgerStep(props: &ResultProps) -> Html {
    let step = &props.step;
    let (session, trial) = (&step.session, &step.trial);
    let analysed = match &*props.result {
        Ok(analysed) => analysed,
        Err(incomplete) => {
            return html! {
                <StepScreen question={sentences::step::LEDGER} session={Rc::clone(session)} trial={trial.id} picture={Html::default()} class="no-picture">
                    <MissingList missing={incomplete.missing.clone()} />
                </StepScreen>
            };
        }
    };
    let is_second = session.trials.first().is_none_or(|t| t.id != trial.id);
    let names = std::slice::from_ref(&trial.name);
    let picture = html! {
        <>
            <p class="headline" role="status">{ report::headline(analysed) }</p>
            { ledger_table(&report::ledger(&[analysed]), names) }
            { energy_bars_view(&[analysed]) }
            { stride_curves(&[analysed], None) }
        </>
    };
    html! {
        <StepScreen question={sentences::step::LEDGER} session={Rc::clone(session)} trial={trial.id} {picture} class={classes!("numbers", is_second.then_some("second-alone"))}
            next={Step::SideBySide}>
            <p class="definition">{ report::definition(analysed) }</p>
            <p>{ report::NOT_THIS }</p>
            if let Some(legs) = report::legs_table(analysed) {
                <TableView table={legs.clone()} />
            }
            { for report::failed_checks(analysed).into_iter().map(|check| html! { <p class="check">{ check }</p> }) }
            { measure_tables(&report::measure_groups(&[analysed]), names) }
            { footnotes(&[analysed]) }
            { physical_checks(analysed) }
            <LowPass options={session.options} />
            <CutoffPlots result={props.result.clone()} />
            <Exports session={Rc::clone(session)} trial={Rc::clone(trial)} result={props.result.clone()} />
        </StepScreen>
    }
}

/// The checks by physics of the marks, the scale and the frame rate.
fn physical_checks(analysed: &TrialAnalysis) -> Html {
    let checks = report::checks(analysed);
    let holding = checks.iter().filter(|c| c.holds).count();
    html! {
        if !checks.is_empty() {
            <details class="checks">
                <summary>{ sentences::results::checks(holding, checks.len()) }</summary>
                <ul>{ for checks.iter().map(|check| html! {
                    <li class={classes!((!check.holds).then_some("fails"))}><b>{ sentences::results::verdict(check.name, check.holds) }</b>{ &check.text }</li>
                }) }</ul>
            </details>
        }
    }
}
