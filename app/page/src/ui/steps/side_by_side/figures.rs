//! Both mean figures at one phase of the stride, hips together; playable.

use crate::browser::clock::Ticker;
use crate::ui::components::{Shared, ink_class};
use crate::ui::sentences;
use document::results::TrialPair;
use document::results::scene::{Area, PhaseFigure, phase_figures, phase_trails};
use mechanics::body::Landmark;
use mechanics::measures::Measure;
use mechanics::space::{Pixel, Side};
use std::cell::Cell;
use std::rc::Rc;
use web_sys::HtmlInputElement;
use yew::prelude::*;

const AREA: Area = Area { width_px: 420.0, height_px: 520.0 };
/// Chosen: a quarter of natural speed is slow enough to see.
const SPEED_RATIO: f64 = 0.25;
/// Chosen: a usual stride, for a trial without a stride time.
const DEFAULT_STRIDE_S: f64 = 0.7;

#[derive(Properties, PartialEq)]
pub struct FiguresProps {
    /// The two trials.
    pub pair: Shared<TrialPair>,
    /// The phase, 0 to 1.
    pub phase: UseStateHandle<f64>,
}

/// The figures with a slider and a play button.
#[component]
pub fn Figures(props: &FiguresProps) -> Html {
    let phase = *props.phase;
    let stride = props.pair.first.analysis.measures.get(&Measure::StrideTime);
    let animation = use_animation(&props.phase, stride.map_or(DEFAULT_STRIDE_S, |e| e.mean_si));
    let figures = [&props.pair.first.analysis.figure, &props.pair.second.analysis.figure];
    let placed = phase_figures(&figures, phase, AREA);
    let trails = phase_trails(&figures, Landmark::NearHeel, AREA);
    let percent = format!("{:.0}", phase * 100.0);
    let Area { width_px, height_px } = AREA;
    html! {
        <>
            <svg class="two-figures" viewBox={format!("0 0 {width_px} {height_px}")} role="img"
                aria-label={sentences::stage::figures_at(phase)}>
                { for trails.iter().enumerate().map(|(index, points)| trail(points, index)) }
                { for placed.iter().enumerate().map(|(index, f)| figure(f, index)) }
            </svg>
            <div class="transport-row">
                <button onclick={animation.toggle}>{ if animation.is_playing { "Pause" } else { "Play" } }</button>
                <input type="range" aria-label="Phase of the stride, per cent" min="0" max="100" step="1" value={percent} oninput={animation.scrub} />
                <output>{ sentences::stage::phase(phase) }</output>
            </div>
        </>
    }
}

/// The animation of the phase.
struct Animation {
    is_playing: bool,
    /// Starts or stops it.
    toggle: Callback<MouseEvent>,
    /// Stops it and takes the phase of a slider in per cent.
    scrub: Callback<InputEvent>,
}

#[hook]
fn use_animation(phase: &UseStateHandle<f64>, stride_s: f64) -> Animation {
    let ticker = use_mut_ref(|| None::<Ticker>);
    let playing = use_state_eq(|| false);
    let toggle = {
        let (ticker, playing, phase) = (Rc::clone(&ticker), playing.clone(), phase.clone());
        Callback::from(move |_: MouseEvent| {
            if ticker.borrow_mut().take().is_some() {
                playing.set(false);
            } else {
                ticker.replace(Some(animate(phase.clone(), stride_s)));
                playing.set(true);
            }
        })
    };
    let scrub = {
        let (playing, phase) = (playing.clone(), phase.clone());
        Callback::from(move |event: InputEvent| {
            ticker.borrow_mut().take();
            playing.set(false);
            let input = event.target_dyn_into::<HtmlInputElement>();
            if let Some(percent) = input.and_then(|i| i.value().parse::<f64>().ok()) {
                phase.set(percent / 100.0);
            }
        })
    };
    Animation { is_playing: *playing, toggle, scrub }
}

/// Moves the phase on from where it is, until the ticker is dropped.
fn animate(phase: UseStateHandle<f64>, stride_s: f64) -> Ticker {
    let (first_phase, first_ms) = (*phase, Cell::new(None::<f64>));
    Ticker::start(move |now_ms| {
        let began_ms = first_ms.get().unwrap_or(now_ms);
        first_ms.set(Some(began_ms));
        let strides = (now_ms - began_ms) / 1000.0 / stride_s * SPEED_RATIO;
        phase.set((first_phase + strides).fract());
    })
}

fn trail(points: &[Pixel], index: usize) -> Html {
    let points: String = points.iter().map(|p| format!("{:.1},{:.1} ", p.x_px, p.y_px)).collect();
    html! { <polyline class={classes!("trail", ink_class(index))} {points} /> }
}

/// A figure: round joints and solid lines for the first trial, square joints and dashes for the second.
fn figure(figure: &PhaseFigure, index: usize) -> Html {
    html! {
        <g class={classes!("figure", ink_class(index))}>
            { for figure.lines.iter().map(|(a, b, side)| html! {
                <line class={classes!((*side == Some(Side::Far)).then_some("far"))}
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
