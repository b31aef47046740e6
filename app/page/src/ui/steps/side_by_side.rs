//! *Side by side*: how do the two ways of running differ, how surely, and is the comparison fair?

use super::breakdown::Explained;
use super::ledger::{ledger_table, measure_tables, notes};
use super::monte_carlo::use_repeats;
use crate::browser::clock::Ticker;
use crate::browser::files;
use crate::ui::actions::{Hands, use_hands};
use crate::ui::components::{BarsView, CurvesView, MissingList, Shared, ink_of};
use crate::ui::home::open_as_new_trials;
use document::results::chart::{curves, energy_bars, quantities};
use document::results::report::{self, DifferenceLine, Fair};
use document::results::scene::{Area, PhaseFigure, phase_figures, phase_trails};
use document::results::{Pair, csv};
use document::session::Session;
use mechanics::body::Landmark;
use mechanics::measures::Measure;
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct SideBySideProps {
    /// The document.
    pub session: Rc<Session>,
    /// Both trials and what separates them, once both have numbers.
    pub pair: Option<Shared<Pair>>,
    /// What each of the first two still lacks.
    pub missing: Vec<(String, Vec<document::results::Missing>)>,
}

const FIGURES: Area = Area { width_px: 420.0, height_px: 520.0 };

/// The screen.
#[component]
pub fn SideBySideStep(props: &SideBySideProps) -> Html {
    let phase = use_state_eq(|| 0.75_f64);
    let repeated = use_repeats(props.pair.clone(), &props.session);
    let (Some(plain), Some(repeated)) = (&props.pair, repeated) else { return not_yet(props) };
    let pair = &repeated.pair;
    let trials = [&pair.first, &pair.second];
    let names: Vec<String> = props.session.trials.iter().take(2).map(|t| t.name.clone()).collect();
    let fair = report::fair(&pair.comparison);
    html! {
        <main class="side-by-side">
            <div class="question"><h1>{ "How do the two ways of running differ?" }</h1></div>
            <section class="figures-part" aria-label="Both figures at one phase of the stride">
                <Figures pair={pair.clone()} phase={phase.clone()} />
            </section>
            <section class="ledger-part" aria-label="Both ledgers">
                { ledger_table(&report::ledger(&trials), &names) }
            </section>
            <section class="said" aria-label="What was found">
                <p class="headline" role="status">{ report::side_by_side_sentence(pair) }</p>
                if let Some(bounds) = report::bounds_sentence(pair) {
                    <p class="bounds">{ bounds }</p>
                }
                { fair_row(&fair) }
                <p>{ report::NOT_THIS }</p>
                <p class="quiet repeats">{ report::spread_sentence(repeated.repeating) }</p>
            </section>
            <section class="charts-part" aria-label="Charts">
                <div class="whole">
                    { key_table(&report::difference_lines(pair)) }
                    <BarsView bars={energy_bars(&trials, (150.0, 600.0))} width_px={620.0} />
                    <Explained pair={plain.clone()} />
                </div>
                <div class="curves">
                    { for quantities(&trials).into_iter().filter_map(|q| curves(q, &trials, Area { width_px: 400.0, height_px: 180.0 }))
                        .map(|c| html! { <CurvesView curves={c} size_px={(400.0, 180.0)} phase={Some(*phase)} /> }) }
                </div>
            </section>
            <section class="small-print" aria-label="All measures and what to know">
                <details><summary>{ "Every measure of both" }</summary>{ difference_table(&report::difference_lines(pair)) }{ measure_tables(&report::measure_groups(&trials), &names) }</details>
                <p class="definition">{ report::definition_of_pair(pair) }</p>
                { notes(&trials) }
                <h2>{ "Take care" }</h2>
                <ul>{ for report::CAUTIONS.iter().map(|c| html! { <li>{ *c }</li> }) }</ul>
                <HandOver session={Rc::clone(&props.session)} pair={pair.clone()} />
            </section>
        </main>
    }
}

fn not_yet(props: &SideBySideProps) -> Html {
    html! {
        <main class="step-screen no-picture">
            <div class="question"><h1>{ "How do the two ways of running differ?" }</h1></div>
            <div class="panel">
                if props.session.trials.len() < 2 {
                    <p>{ "Two clips are needed: the same runner, at the same speed, in two ways." }</p>
                    <OpenSecond />
                }
                { for props.missing.iter().map(|(name, missing)| html! { <><h2>{ name }</h2><MissingList missing={missing.clone()} /></> }) }
            </div>
        </main>
    }
}

#[component]
fn OpenSecond() -> Html {
    let hands = use_hands();
    let on_files = Callback::from(move |files| open_as_new_trials(&hands, files));
    html! { <crate::ui::home::FileButton label="Open another clip" accept="video/*,.mp4,.mov,.webm,.m4v" {on_files} first=true /> }
}

#[derive(Properties, PartialEq)]
struct FiguresProps {
    pair: Shared<Pair>,
    phase: UseStateHandle<f64>,
}

/// Both mean figures at one phase, hips together; playable.
#[component]
fn Figures(props: &FiguresProps) -> Html {
    let ticker = use_mut_ref(|| None::<Ticker>);
    let playing = use_state_eq(|| false);
    let phase = &props.phase;
    let figures = [&props.pair.first.analysis.figure, &props.pair.second.analysis.figure];
    let drawn = phase_figures(&figures, **phase, FIGURES);
    let trails = phase_trails(&figures, Landmark::NearHeel, FIGURES);
    let stride_s =
        props.pair.first.analysis.measures.get(&Measure::StrideTime).map_or(0.7, |e| e.mean_si);
    let play = {
        let (ticker, playing, phase) = (Rc::clone(&ticker), playing.clone(), phase.clone());
        Callback::from(move |_: MouseEvent| {
            if ticker.borrow_mut().take().is_some() {
                playing.set(false);
                return;
            }
            let (phase, start, began) = (phase.clone(), *phase, Cell::new(None::<f64>));
            // A quarter of the natural pace: slow enough to see.
            *ticker.borrow_mut() = Some(Ticker::start(move |now_ms| {
                let began_ms = began.get().unwrap_or(now_ms);
                began.set(Some(began_ms));
                phase.set((start + (now_ms - began_ms) / 1000.0 / stride_s / 4.0).fract());
            }));
            playing.set(true);
        })
    };
    let scrub = {
        let (phase, ticker, playing) = (phase.clone(), Rc::clone(&ticker), playing.clone());
        Callback::from(move |event: InputEvent| {
            ticker.borrow_mut().take();
            playing.set(false);
            let value = event
                .target()
                .and_then(|t| t.dyn_into::<web_sys::HtmlInputElement>().ok())
                .map(|i| i.value());
            if let Some(percent) = value.and_then(|v| v.parse::<f64>().ok()) {
                phase.set(percent / 100.0);
            }
        })
    };
    let Area { width_px, height_px } = FIGURES;
    html! {
        <>
            <svg class="two-figures" viewBox={format!("0 0 {width_px} {height_px}")} role="img"
                aria-label={format!("The mean figures of both ways at {:.0} per cent of the stride, hips together", **phase * 100.0)}>
                { for trails.iter().enumerate().map(|(i, t)| html! {
                    <polyline class={classes!("trail", ink_of(i))} points={t.iter().map(|p| format!("{:.1},{:.1} ", p.x_px, p.y_px)).collect::<String>()} />
                }) }
                { for drawn.iter().enumerate().map(|(i, f)| figure(f, i)) }
            </svg>
            <div class="transport-row">
                <button onclick={play}>{ if *playing { "Pause" } else { "Play" } }</button>
                <input type="range" aria-label="Phase of the stride, per cent" min="0" max="100" step="1" value={format!("{:.0}", **phase * 100.0)} oninput={scrub} />
                <output>{ format!("{:.0} % of the stride", **phase * 100.0) }</output>
            </div>
        </>
    }
}

/// Round joints and unbroken lines for the first way, square joints and dashes for the second.
fn figure(figure: &PhaseFigure, index: usize) -> Html {
    html! {
        <g class={classes!("figure", ink_of(index))}>
            { for figure.lines.iter().map(|(a, b, side)| html! {
                <line class={classes!((*side == Some(mechanics::space::Side::Far)).then_some("far"))}
                    x1={format!("{:.1}", a.x_px)} y1={format!("{:.1}", a.y_px)} x2={format!("{:.1}", b.x_px)} y2={format!("{:.1}", b.y_px)} />
            }) }
            { for figure.joints.iter().map(|(_, p)| if index == 0 {
                html! { <circle cx={format!("{:.1}", p.x_px)} cy={format!("{:.1}", p.y_px)} r="5" /> }
            } else {
                html! { <rect x={format!("{:.1}", p.x_px - 4.5)} y={format!("{:.1}", p.y_px - 4.5)} width="9" height="9" /> }
            }) }
        </g>
    }
}

/// The measures a coach asks for first.
const KEY: [Measure; 6] = [
    Measure::InternalWork,
    Measure::Cadence,
    Measure::HeelLift,
    Measure::PeakKneeFlexion,
    Measure::ContactTime,
    Measure::Speed,
];

fn key_table(lines: &[DifferenceLine]) -> Html {
    let key: Vec<DifferenceLine> =
        KEY.iter().filter_map(|m| lines.iter().find(|l| l.measure == *m)).cloned().collect();
    difference_table(&key)
}

fn difference_table(lines: &[DifferenceLine]) -> Html {
    html! {
        <div class="table-window" tabindex="0" role="region" aria-label="Differences">
            <table class="figures">
                <caption>{ "Second less first, with its 95 % interval" }</caption>
                <thead><tr><th scope="col">{ "Measure" }</th><th scope="col">{ "First" }</th><th scope="col">{ "Second" }</th><th scope="col">{ "Difference" }</th><th scope="col">{ "95 %" }</th></tr></thead>
                <tbody>{ for lines.iter().map(|l| html! {
                    <tr>
                        <th scope="row">{ &l.heading }<span class="quiet">{ format!(" {}", l.unit.symbol()) }</span></th>
                        <td>{ l.first.pair() }</td><td>{ l.second.pair() }</td><td>{ &l.difference }<span class="quiet">{ format!(" {}", l.verdict) }</span></td>
                        <td>{ l.interval_95.as_ref().map_or_else(|| "—".to_owned(), |(low, high)| format!("{low} to {high}")) }</td>
                    </tr>
                }) }</tbody>
            </table>
        </div>
    }
}

fn fair_row(fair: &Fair) -> Html {
    html! {
        <div class={classes!("fair", (!fair.is_fair).then_some("not-fair"))}>
            <p><b>{ &fair.sentence }</b></p>
            <ul>
                { for fair.lines.iter().map(|l| html! {
                    <li class={classes!((!l.holds).then_some("fails"))}><b>{ &l.name }{ if l.holds { ": holds. " } else { ": does not hold. " } }</b>{ &l.found }{ " " }{ &l.what_to_do }</li>
                }) }
            </ul>
        </div>
    }
}

#[derive(Properties, PartialEq)]
struct HandOverProps {
    session: Rc<Session>,
    pair: Shared<Pair>,
}

/// What can be taken along: a page for the runner, and files.
#[component]
fn HandOver(props: &HandOverProps) -> Html {
    let hands = use_hands();
    let told = |hands: &Hands, result: Result<(), String>| {
        if let Err(reason) = result {
            hands.complain(reason);
        }
    };
    let print = Callback::from(|_: MouseEvent| {
        if let Some(window) = web_sys::window() {
            // A browser without a print dialog does nothing.
            let _ = window.print();
        }
    });
    let measures = {
        let (hands, pair) = (hands.clone(), props.pair.clone());
        Callback::from(move |_: MouseEvent| {
            told(
                &hands,
                files::save_text(
                    "side-by-side-measures.csv",
                    "text/csv",
                    &csv::measures_of_two(&pair),
                )
                .map_err(|e| e.to_string()),
            )
        })
    };
    html! {
        <div class="row hand-over">
            <button class="ready" onclick={print}>{ "Print a page for the runner" }</button>
            <button onclick={measures}>{ "Save measures (CSV)" }</button>
            <super::super::home::SaveSession session={Rc::clone(&props.session)} />
        </div>
    }
}
