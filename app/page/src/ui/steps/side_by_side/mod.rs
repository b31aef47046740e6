//! Side by side: how do the two ways of running differ, how surely, and is the comparison fair?

mod breakdown;
mod difference_table;
mod export;
mod fairness;
mod figures;
mod monte_carlo;
mod not_yet;

use crate::ui::components::{
    Shared, cautions, energy_bars_view, footnotes, ledger_table, measure_tables, stride_curves,
};
use crate::ui::sentences;
use breakdown::Breakdown;
use difference_table::{difference_table, key_differences};
use document::results::TrialPair;
use document::results::report;
use document::session::Session;
use export::Export;
use fairness::fairness;
use figures::Figures;
use monte_carlo::{WithSpread, use_monte_carlo};
pub use not_yet::MissingInTrial;
use not_yet::not_yet;
use std::rc::Rc;
use yew::prelude::*;

/// The phase that is shown first: the late swing, where heel lift differs most.
const FIRST_PHASE: f64 = 0.75;

#[derive(Properties, PartialEq)]
pub struct SideBySideProps {
    /// The document.
    pub session: Rc<Session>,
    /// Both trials with their comparison, once both have numbers.
    pub pair: Option<Shared<TrialPair>>,
    /// What is missing in each of the two.
    pub missing: Vec<MissingInTrial>,
}

/// The screen.
#[component]
pub fn SideBySideStep(props: &SideBySideProps) -> Html {
    let phase = use_state_eq(|| FIRST_PHASE);
    let with_spread = use_monte_carlo(props.pair.clone(), &props.session);
    let (Some(plain), Some(with_spread)) = (&props.pair, with_spread) else {
        return not_yet(&props.session, &props.missing);
    };
    let pair = &with_spread.pair;
    let trials = [&pair.first, &pair.second];
    let names: Vec<String> = props.session.trials.iter().take(2).map(|t| t.name.clone()).collect();
    let differences = report::difference_lines(pair);
    html! {
        <main class="side-by-side">
            <div class="question"><h1>{ sentences::step::SIDE_BY_SIDE }</h1></div>
            <section class="figures-part" aria-label="Both figures at one phase of the stride">
                <Figures pair={pair.clone()} phase={phase.clone()} />
            </section>
            <section class="ledger-part" aria-label="Both ledgers">
                { ledger_table(&report::ledger(&trials), &names) }
            </section>
            { findings(&with_spread) }
            <section class="charts-part" aria-label="Charts">
                <div class="whole">
                    { difference_table(&key_differences(&differences)) }
                    { energy_bars_view(&trials) }
                    <Breakdown pair={plain.clone()} />
                </div>
                { stride_curves(&trials, Some(*phase)) }
            </section>
            <section class="small-print" aria-label="All measures and what to know">
                <details><summary>{ "Every measure of both" }</summary>{ difference_table(&differences) }{ measure_tables(&report::measure_groups(&trials), &names) }</details>
                <p class="definition">{ report::definition_of_pair(pair) }</p>
                { footnotes(&trials) }
                { cautions() }
                <Export session={Rc::clone(&props.session)} pair={pair.clone()} />
            </section>
        </main>
    }
}

/// The findings in sentences.
fn findings(with_spread: &WithSpread) -> Html {
    let pair = &with_spread.pair;
    html! {
        <section class="findings" aria-label="What was found">
            <p class="headline" role="status">{ report::side_by_side_sentence(pair) }</p>
            if let Some(bounds) = report::bounds_sentence(pair) {
                <p class="bounds">{ bounds }</p>
            }
            { fairness(&report::fairness_summary(&pair.comparison)) }
            <p>{ report::NOT_THIS }</p>
            <p class="quiet repeats">{ report::spread_sentence(with_spread.repeating) }</p>
        </section>
    }
}
