//! The step *Ledger*: what does a stride cost? One trial's numbers with what they mean.

use super::StepProps;
use crate::browser::files;
use crate::ui::actions::{Hands, use_hands};
use crate::ui::components::{
    BarsView, Choice, CurvesView, MissingList, NumberField, Shared, StepScreen, TableView,
};
use crate::ui::store::Step;
use document::results::chart::{curves, energy_bars, quantities, residual_curves};
use document::results::format::Shown;
use document::results::report::{self, Ledger, MeasureGroup};
use document::results::scene::Area;
use document::results::{Analysed, TrialResult, csv};
use document::session::{Command, Cutoff, Options};
use std::rc::Rc;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct LedgerProps {
    /// As for every step.
    pub step: StepProps,
    /// What was computed.
    pub result: Shared<TrialResult>,
}

const QUESTION: &str = "What does a stride cost?";

/// The step.
#[component]
pub fn LedgerStep(props: &LedgerProps) -> Html {
    let hands = use_hands();
    let step = &props.step;
    let done = match &*props.result {
        Ok(done) => done,
        Err(lacking) => {
            return html! {
                <StepScreen question={QUESTION} session={Rc::clone(&step.session)} trial={step.trial.id} picture={Html::default()} class="no-picture">
                    <MissingList missing={lacking.missing.clone()} />
                </StepScreen>
            };
        }
    };
    let is_second = step.session.trials.first().is_none_or(|t| t.id != step.trial.id);
    let ledger = report::ledger(&[done]);
    let picture = html! {
        <>
            <p class="headline" role="status">{ report::headline(done) }</p>
            { ledger_table(&ledger, std::slice::from_ref(&step.trial.name)) }
            <BarsView bars={energy_bars(&[done], (150.0, 600.0))} width_px={620.0} />
            <div class="curves">
                { for quantities(&[done]).into_iter().filter_map(|q| curves(q, &[done], Area { width_px: 400.0, height_px: 180.0 }))
                    .map(|c| html! { <CurvesView curves={c} size_px={(400.0, 180.0)} /> }) }
            </div>
        </>
    };
    html! {
        <StepScreen question={QUESTION} session={Rc::clone(&step.session)} trial={step.trial.id} {picture} class={classes!("numbers", is_second.then_some("second-alone"))}
            next={(Step::SideBySide, AttrValue::default())}>
            <p class="definition">{ report::definition(done) }</p>
            <p>{ report::NOT_THIS }</p>
            if let Some(legs) = report::legs_table(done) {
                <TableView table={legs.clone()} />
            }
            { for report::failed_checks(done).into_iter().map(|c| html! { <p class="check">{ c }</p> }) }
            { measure_tables(&report::measure_groups(&[done]), std::slice::from_ref(&step.trial.name)) }
            { notes(&[done]) }
            { check_list(done) }
            <CutoffChoice options={step.session.options} />
            <ChosenCutoffs result={props.result.clone()} />
            { exports(&hands, props, done) }
        </StepScreen>
    }
}

/// The ledger: a line a limb, a double rule, the whole.
pub fn ledger_table(ledger: &Ledger, names: &[String]) -> Html {
    let cells = |shown: &[Shown]| -> Html {
        shown.iter().map(|s| html! { <td>{ s.pair() }</td> }).collect()
    };
    let unit = ledger.total.shown.first().map_or("", |s| s.unit.symbol());
    html! {
        <>
        <table class="ledger" aria-label="Ledger">
            <caption>{ format!("A stride costs, {unit} (mean ± SD)") }</caption>
            <thead><tr><th scope="col">{ "Limb" }</th>{ for names.iter().enumerate().map(|(i, n)| html! { <th scope="col" class={crate::ui::components::ink_of(i)}><span class="joint" aria-hidden="true"></span>{ n }</th> }) }</tr></thead>
            <tbody>
                { for ledger.lines.iter().map(|l| html! { <tr><th scope="row">{ &l.label }</th>{ cells(&l.shown) }</tr> }) }
            </tbody>
            <tfoot><tr><th scope="row">{ &ledger.total.label }</th>{ cells(&ledger.total.shown) }</tr></tfoot>
        </table>
        if !ledger.signs.is_empty() {
            <p class="quiet">{ &ledger.signs }</p>
        }
        </>
    }
}

/// All measures in groups; each opens to say what it is.
pub fn measure_tables(groups: &[MeasureGroup], names: &[String]) -> Html {
    let many = names.len() > 1;
    groups
        .iter()
        .map(|group| {
            html! {
                <table class="measures">
                    <caption>{ group.title }</caption>
                    if many {
                        <thead><tr><td></td>{ for names.iter().map(|n| html! { <th scope="col">{ n }</th> }) }</tr></thead>
                    }
                    <tbody>
                        { for group.lines.iter().map(|l| html! {
                            <tr>
                                <th scope="row"><details><summary>{ &l.heading }</summary><p>{ l.meaning }</p><p class="quiet">{ l.method }{ " " }{ l.source }</p></details></th>
                                { for l.shown.iter().map(|s| html! { <td>{ unbroken(&s.sentence()) }</td> }) }
                            </tr>
                        }) }
                    </tbody>
                </table>
            }
        })
        .collect()
}

/// A number on one line and how many strides it is of on one, where both do not fit beside each other.
fn unbroken(sentence: &str) -> Html {
    match sentence.rsplit_once(" (n ") {
        None => Html::from(sentence),
        Some((number, count)) => html! {
            <><span class="unbroken">{ number }</span>{ " " }<span class="unbroken">{ format!("(n {count}") }</span></>
        },
    }
}

/// What the physics says of the marks, the scale and the frame rate.
fn check_list(done: &Analysed) -> Html {
    let checks = report::checks(done);
    let holding = checks.iter().filter(|c| c.holds).count();
    html! {
        if !checks.is_empty() {
            <details class="checks">
                <summary>{ format!("Physical checks: {holding} of {} hold", checks.len()) }</summary>
                <ul>{ for checks.iter().map(|c| html! {
                    <li class={classes!((!c.holds).then_some("fails"))}><b>{ c.name }{ if c.holds { ": holds. " } else { ": does not hold. " } }</b>{ &c.words }</li>
                }) }</ul>
            </details>
        }
    }
}

#[derive(Properties, PartialEq)]
struct ChosenCutoffsProps {
    result: Shared<TrialResult>,
}

/// How each marker's cut-off was chosen; drawn once it is opened.
#[component]
fn ChosenCutoffs(props: &ChosenCutoffsProps) -> Html {
    let open = use_state_eq(|| false);
    let Ok(done) = &*props.result else { return Html::default() };
    if done.analysis.residuals.is_empty() {
        return Html::default();
    }
    let size_px = (320.0, 140.0);
    let area = Area { width_px: size_px.0, height_px: size_px.1 };
    let ontoggle = {
        let open = open.clone();
        Callback::from(move |event: Event| {
            let details = event.target_dyn_into::<web_sys::Element>();
            open.set(details.is_some_and(|d| d.has_attribute("open")));
        })
    };
    html! {
        <details class="cutoffs" {ontoggle}>
            <summary>{ "How each marker's cut-off was chosen" }</summary>
            if *open {
                <p>{ "A line through the straight part at the right tells the noise; the cut-off is where the low-pass takes away no more than that \
                    and a millimetre, between 5 and 12 Hz." }</p>
                { for residual_curves(done, area).into_iter().map(|c| html! { <CurvesView curves={c} {size_px} /> }) }
            }
        </details>
    }
}

/// Every caveat once.
pub fn notes(trials: &[&Analysed]) -> Html {
    let notes = report::footnotes(trials);
    html! {
        if !notes.is_empty() {
            <details open=true><summary>{ "What to know when reading these numbers" }</summary><ul>{ for notes.into_iter().map(|n| html! { <li>{ n }</li> }) }</ul></details>
        }
    }
}

#[derive(Properties, PartialEq)]
struct CutoffChoiceProps {
    options: Options,
}

/// How the low-pass cut-off is chosen; the same for every trial of the session.
#[component]
fn CutoffChoice(props: &CutoffChoiceProps) -> Html {
    let hands = use_hands();
    let fixed_hz = match props.options.cutoff {
        Cutoff::Automatic => None,
        Cutoff::Fixed { cutoff_hz } => Some(cutoff_hz),
    };
    let set = move |hands: &Hands, cutoff: Cutoff| {
        hands.carry_out(Command::SetOptions(Options { cutoff }))
    };
    let choose = {
        let hands = hands.clone();
        Callback::from(move |index: usize| {
            set(
                &hands,
                if index == 0 { Cutoff::Automatic } else { Cutoff::Fixed { cutoff_hz: 8.0 } },
            )
        })
    };
    let enter = Callback::from(move |value: Option<f64>| {
        if let Some(cutoff_hz) = value {
            set(&hands, Cutoff::Fixed { cutoff_hz });
        }
    });
    let answers = vec![
        ("Chosen by residual analysis".into(), "marker by marker, from the clip itself".into()),
        ("Fixed".into(), "the same for every marker".into()),
    ];
    html! {
        <details>
            <summary>{ "Low-pass filter" }</summary>
            <Choice legend="Cut-off" {answers} chosen={Some(usize::from(fixed_hz.is_some()))} on_choose={choose} />
            if let Some(hz) = fixed_hz {
                <NumberField label="Cut-off (Hz)" value_shown={Some(hz)} least_shown=1.0 most_shown=50.0 on_change={enter} />
            }
        </details>
    }
}

fn exports(hands: &Hands, props: &LedgerProps, done: &Analysed) -> Html {
    let stem = files::safe_stem(&props.step.trial.name);
    let save = |label: &'static str, name: String, text: Option<String>| {
        let hands = hands.clone();
        html! {
            <button disabled={text.is_none()} onclick={move |_| {
                if let Some(text) = &text && let Err(reason) = files::save_text(&name, "text/csv", text) {
                    hands.complain(reason.to_string());
                }
            }}>{ label }</button>
        }
    };
    html! {
        <div class="row">
            { save("Save measures (CSV)", format!("{stem}-measures.csv"), Some(csv::measures(done))) }
            { save("Save positions (CSV)", format!("{stem}-positions.csv"), csv::positions(&props.step.trial)) }
            <crate::ui::home::SaveSession session={Rc::clone(&props.step.session)} />
        </div>
    }
}
