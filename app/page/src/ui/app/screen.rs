//! The current screen.

use crate::ui::components::Shared;
use crate::ui::home::{GuideScreen, HomeScreen};
use crate::ui::steps::{
    ClipStep, LedgerStep, MarkersStep, MissingInTrial, ScaleStep, SideBySideStep, StepProps,
    StridesStep,
};
use crate::ui::store::{Screen, Step, Store};
use document::results::{AnalysisInput, ResultCache, TrialPair, TrialResult};
use document::session::{Session, Trial};
use std::cell::RefCell;
use std::rc::Rc;
use yew::prelude::*;

/// The current screen; results come from the cache.
pub fn screen(store: &Store, results: &Rc<RefCell<ResultCache>>) -> Html {
    match (store.view.screen, store.trial()) {
        (Screen::Guide, _) => html! { <GuideScreen /> },
        (Screen::Step(Step::SideBySide), _) => side_by_side(store.session(), results),
        (Screen::Step(step), Some(trial)) => trial_step(step, store, trial, results),
        (Screen::Home | Screen::Step(_), _) => {
            html! { <HomeScreen session={Rc::clone(store.session())} opening={store.jobs.opening.clone()} /> }
        }
    }
}

/// A step about one trial.
fn trial_step(
    step: Step,
    store: &Store,
    trial: &Rc<Trial>,
    results: &Rc<RefCell<ResultCache>>,
) -> Html {
    let session = store.session();
    let props = StepProps {
        session: Rc::clone(session),
        trial: Rc::clone(trial),
        view: store.view.clone(),
        jobs: store.jobs.clone(),
    };
    let result = || {
        Shared(results.borrow_mut().trial(AnalysisInput::new(
            trial,
            &session.runner,
            &session.options,
        )))
    };
    match step {
        Step::Clip => html! { <ClipStep ..props /> },
        Step::Scale => html! { <ScaleStep key={trial.id.0} ..props /> },
        Step::Markers => html! { <MarkersStep key={trial.id.0} step={props} result={result()} /> },
        Step::Strides => html! { <StridesStep key={trial.id.0} step={props} result={result()} /> },
        Step::Ledger | Step::SideBySide => html! { <LedgerStep step={props} result={result()} /> },
    }
}

fn side_by_side(session: &Rc<Session>, results: &Rc<RefCell<ResultCache>>) -> Html {
    let pair: Option<Rc<TrialPair>> = results.borrow_mut().pair(session);
    let result = |trial: &Trial| {
        results.borrow_mut().trial(AnalysisInput::new(trial, &session.runner, &session.options))
    };
    let missing: Vec<MissingInTrial> = (session.trials.iter().take(2))
        .filter_map(|trial| match &*result(trial) {
            TrialResult::Err(incomplete) => Some(MissingInTrial {
                trial: trial.name.clone(),
                missing: incomplete.missing.clone(),
            }),
            TrialResult::Ok(_) => None,
        })
        .collect();
    html! { <SideBySideStep session={Rc::clone(session)} pair={pair.map(Shared)} {missing} /> }
}
