//! The step *Scale*: how long is one metre in this picture, what is upright, and how fast is the clock?

use super::StepProps;
use crate::ui::actions::{Hands, use_hands};
use crate::ui::components::{Choice, NumberField, StepScreen, TextField};
use crate::ui::home::AskForClip;
use crate::ui::stage::{Gesture, Phase, Stage, Transport};
use crate::ui::store::Step;
use document::session::{
    Calibration, Command, Conditions, Runner, Scale, TrialCommand, TrialId, Vertical, VerticalKind,
};
use mechanics::body::Table;
use mechanics::space::{Direction, Pixel};
use std::rc::Rc;
use yew::prelude::*;

/// What the next two points in the picture are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Drawing {
    Scale,
    Line(VerticalKind),
}

/// Which end of which line is under the finger or under the keys.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Held {
    drawing: Drawing,
    from: Pixel,
    to: Pixel,
    second: bool,
}

impl Held {
    fn end(&self) -> Pixel {
        if self.second { self.to } else { self.from }
    }

    fn moved(mut self, at: Pixel) -> Self {
        if self.second {
            self.to = at
        } else {
            self.from = at
        }
        self
    }
}

/// The step.
#[component]
pub fn ScaleStep(props: &StepProps) -> Html {
    let hands = use_hands();
    let drawing =
        use_state_eq(|| props.trial.calibration.scale.is_none().then_some(Drawing::Scale));
    let held = use_state_eq(|| None::<Held>);
    let keys = use_state_eq(|| None::<Held>);
    let trial = &props.trial;
    let calibration = trial.calibration.seen_in(props.view.frame, trial.camera.as_deref());
    let lines = Lines { drawing: drawing.clone(), held: held.clone(), keys: keys.clone() };
    let page = Drawn { trial: trial.id, calibration, frame: props.view.frame };
    let on_gesture = lines.gestures(&hands, page);
    let on_key = lines.keys(&hands, page);
    let overlay = {
        let (held, width) = (*held, f64::from(trial.clip.info.width_px));
        Callback::from(move |_| lines_over(&calibration, held, width))
    };
    let picture = if props.clip_in_hand() {
        html! {
            <>
                <Stage trial={Rc::clone(trial)} frame={props.view.frame} loupe=true overlay={Some(overlay)} on_gesture={Some(on_gesture)}
                    on_key={Some(on_key)} key_mark={keys.map(|k| k.end())}
                    label="Picture: drag from one end of a known length to the other; arrow keys move the end last touched" />
                <Transport trial={Rc::clone(trial)} frame={props.view.frame} />
            </>
        }
    } else {
        html! { <AskForClip trial={Rc::clone(trial)} opening={!props.jobs.opening.is_empty()} /> }
    };
    html! {
        <StepScreen question="How long is one metre in this picture?" session={Rc::clone(&props.session)} trial={trial.id}
            {picture} next={(Step::Markers, AttrValue::default())}>
            { scale_part(&hands, props, &drawing, &keys) }
            { direction_part(&hands, props) }
            { clock_part(&hands, props) }
            <h2>{ "The runner" }</h2>
            <RunnerFields runner={props.session.runner.clone()} />
        </StepScreen>
    }
}

/// What is drawn on already: the lines as they lie in the frame that is shown.
#[derive(Clone, Copy)]
struct Drawn {
    trial: TrialId,
    calibration: Calibration,
    frame: u32,
}

/// The lines being drawn, held and moved by keys.
struct Lines {
    drawing: UseStateHandle<Option<Drawing>>,
    held: UseStateHandle<Option<Held>>,
    keys: UseStateHandle<Option<Held>>,
}

impl Lines {
    fn gestures(&self, hands: &Hands, page: Drawn) -> Callback<Gesture> {
        let (drawing, held, keys) = (self.drawing.clone(), self.held.clone(), self.keys.clone());
        let hands = hands.clone();
        Callback::from(move |gesture: Gesture| match gesture.phase {
            Phase::Press => held.set(take_hold(&page.calibration, *drawing, gesture)),
            Phase::Move => held.set(held.map(|h| h.moved(gesture.at))),
            Phase::Release => {
                if let Some(line) = held.map(|h| h.moved(gesture.at)) {
                    keep(&hands, page, line);
                    keys.set(Some(line));
                    drawing.set(None);
                }
                held.set(None);
            }
            Phase::Cancel => held.set(None),
        })
    }

    fn keys(&self, hands: &Hands, page: Drawn) -> Callback<KeyboardEvent> {
        let (hands, keys) = (hands.clone(), self.keys.clone());
        Callback::from(move |event: KeyboardEvent| {
            if let (Some(line), Some((dx, dy))) = (*keys, super::markers::nudge(&event)) {
                event.prevent_default();
                let end = line.end();
                let line = line.moved(Pixel { x_px: end.x_px + dx, y_px: end.y_px + dy });
                keep(&hands, page, line);
                keys.set(Some(line));
            }
        })
    }
}

/// What a press takes hold of: an end that is there already, else the first end of the line being drawn.
fn take_hold(
    calibration: &Calibration,
    drawing: Option<Drawing>,
    gesture: Gesture,
) -> Option<Held> {
    let scale = calibration.scale.map(|s| (Drawing::Scale, s.from, s.to));
    let line = calibration.vertical.map(|v| (Drawing::Line(v.kind), v.from, v.to));
    let near = |p: Pixel| (p.x_px - gesture.at.x_px).hypot(p.y_px - gesture.at.y_px);
    if let Some(drawing) = drawing {
        return Some(Held { drawing, from: gesture.at, to: gesture.at, second: true });
    }
    [scale, line]
        .into_iter()
        .flatten()
        .flat_map(|(drawing, from, to)| {
            [false, true].map(|second| Held { drawing, from, to, second })
        })
        .filter(|h| near(h.end()) <= gesture.reach_px)
        .min_by(|a, b| near(a.end()).total_cmp(&near(b.end())))
}

/// Keeps a line that a gesture or a key changed; a line without length is told and not kept.
fn keep(hands: &Hands, page: Drawn, line: Held) {
    let Drawn { trial: id, calibration: before, frame } = page;
    let Held { drawing, from, to, .. } = line;
    if (to.x_px - from.x_px).hypot(to.y_px - from.y_px) < 5.0 {
        hands.complain(
            "The two ends are in one place: press on one end, drag to the other, and let go there.",
        );
        return;
    }
    let calibration = match drawing {
        Drawing::Scale => {
            let length_m = before.scale.map_or(1.0, |s| s.length_m);
            Calibration { scale: Some(Scale { from, to, length_m, frame }), ..before }
        }
        Drawing::Line(kind) => {
            Calibration { vertical: Some(Vertical { kind, from, to, frame }), ..before }
        }
    };
    hands.change(id, TrialCommand::Calibrate(calibration));
}

fn lines_over(calibration: &Calibration, held: Option<Held>, width_px: f64) -> Html {
    let r = width_px / 160.0;
    let line = |class: &'static str, from: Pixel, to: Pixel| {
        let end = |p: Pixel| html! { <circle cx={p.x_px.to_string()} cy={p.y_px.to_string()} r={r.to_string()} /> };
        html! {
            <g class={class}>
                <line class="under" x1={from.x_px.to_string()} y1={from.y_px.to_string()} x2={to.x_px.to_string()} y2={to.y_px.to_string()} />
                <line x1={from.x_px.to_string()} y1={from.y_px.to_string()} x2={to.x_px.to_string()} y2={to.y_px.to_string()} />
                { end(from) }{ end(to) }
            </g>
        }
    };
    let other = |drawing: Drawing| {
        held.is_none_or(|h| std::mem::discriminant(&h.drawing) != std::mem::discriminant(&drawing))
    };
    let scale = calibration
        .scale
        .filter(|_| other(Drawing::Scale))
        .map(|s| line("scale-line", s.from, s.to));
    let upright = calibration
        .vertical
        .filter(|v| other(Drawing::Line(v.kind)))
        .map(|v| line("upright-line", v.from, v.to));
    let moving = held.map(|h| {
        line(if h.drawing == Drawing::Scale { "scale-line" } else { "upright-line" }, h.from, h.to)
    });
    html! { <>{ scale }{ upright }{ moving }</> }
}

fn scale_part(
    hands: &Hands,
    props: &StepProps,
    drawing: &UseStateHandle<Option<Drawing>>,
    keys: &UseStateHandle<Option<Held>>,
) -> Html {
    let calibration = props.trial.calibration;
    let draw = |what: Drawing, label: &'static str| {
        let (drawing, keys) = (drawing.clone(), keys.clone());
        let on = *drawing == Some(what);
        html! {
            <button aria-pressed={on.to_string()} onclick={move |_| { drawing.set((*drawing != Some(what)).then_some(what)); keys.set(None); }}>{ label }</button>
        }
    };
    let set_length = {
        let (hands, id) = (hands.clone(), props.trial.id);
        Callback::from(move |length: Option<f64>| {
            if let (Some(scale), Some(length_m)) = (calibration.scale, length) {
                let scale = Some(Scale { length_m, ..scale });
                hands.change(id, TrialCommand::Calibrate(Calibration { scale, ..calibration }));
            }
        })
    };
    let told = match (calibration.scale, **drawing) {
        (_, Some(Drawing::Scale)) => "Press on one end of a length you know, drag to the other end, and let go there. It must lie where the near foot runs.".to_owned(),
        (_, Some(Drawing::Line(VerticalKind::Plumb))) => "Drag along something that hangs straight down.".to_owned(),
        (_, Some(Drawing::Line(VerticalKind::Ground))) => "Drag along the ground or the belt, if it is level.".to_owned(),
        (None, None) => "No length is marked yet.".to_owned(),
        (Some(s), None) => {
            let px = (s.to.x_px - s.from.x_px).hypot(s.to.y_px - s.from.y_px);
            format!("One metre is {:.1} px here. One pixel off at either end changes lengths by {:.1} %.", px / s.length_m, 100.0 / px)
        }
    };
    let upright = match calibration.vertical {
        None => "Upright is taken from the picture's own edge.",
        Some(v) if v.kind == VerticalKind::Plumb => "Upright is taken from the plumb line.",
        Some(_) => "Upright is taken from the ground line.",
    };
    html! {
        <>
            <div class="row">
                { draw(Drawing::Scale, "Mark the scale") }
                { draw(Drawing::Line(VerticalKind::Plumb), "Mark a plumb line") }
                { draw(Drawing::Line(VerticalKind::Ground), "Mark the ground line") }
            </div>
            <p role="status">{ told }{ " " }{ upright }</p>
            if let Some(scale) = calibration.scale {
                <NumberField label="Length in metres" value_shown={Some(scale.length_m)} least_shown=0.05 most_shown=50.0 on_change={set_length} />
            }
        </>
    }
}

fn direction_part(hands: &Hands, props: &StepProps) -> Html {
    let (hands, id, before) = (hands.clone(), props.trial.id, props.trial.calibration);
    let chosen = before.direction.map(|d| usize::from(d == Direction::Left));
    let choose = Callback::from(move |index: usize| {
        let direction = Some(if index == 0 { Direction::Right } else { Direction::Left });
        hands.change(id, TrialCommand::Calibrate(Calibration { direction, ..before }));
    });
    let answers = vec![
        ("To the right".into(), "the near side is the runner's right".into()),
        ("To the left".into(), "the near side is the runner's left".into()),
    ];
    html! { <Choice legend="Which way does the runner go?" {answers} {chosen} on_choose={choose} /> }
}

fn clock_part(hands: &Hands, props: &StepProps) -> Html {
    let (id, before, conditions) =
        (props.trial.id, props.trial.calibration, props.trial.conditions.clone());
    let stamped = props.trial.clip.info.stamped_rate_hz();
    let set_rate = {
        let hands = hands.clone();
        Callback::from(move |filmed_rate_hz: Option<f64>| {
            hands.change(id, TrialCommand::Calibrate(Calibration { filmed_rate_hz, ..before }));
        })
    };
    let set = {
        let hands = hands.clone();
        move |conditions: Conditions| hands.change(id, TrialCommand::SetConditions(conditions))
    };
    let (set_speed, with_speed) = (set.clone(), conditions.clone());
    let speed =
        Callback::from(move |speed_m_s| set_speed(Conditions { speed_m_s, ..with_speed.clone() }));
    let on_belt = conditions.on_belt;
    let belt = Callback::from(move |index: usize| {
        set(Conditions { on_belt: index == 0, ..conditions.clone() })
    });
    let answers = vec![
        ("On a belt".into(), "the body stays in place".into()),
        ("On the ground".into(), "a camera that follows needs a wall or a fence behind".into()),
    ];
    let proposed =
        props.trial.clip.info.other_rate_hz().filter(|_| before.filmed_rate_hz.is_none());
    let take = |rate_hz: f64| {
        let set_rate = set_rate.clone();
        Callback::from(move |_: MouseEvent| set_rate.emit(Some(rate_hz)))
    };
    let help = stamped.map_or(String::new(), |r| {
        format!("Only for slow motion; empty means {r:.2}, as the stamps say.")
    });
    html! {
        <>
            <Choice legend="Where?" {answers} chosen={Some(usize::from(!on_belt))} on_choose={belt} />
            <NumberField label="Speed (m/s)" value_shown={props.trial.conditions.speed_m_s} least_shown=0.3 most_shown=13.0 on_change={speed}
                help="What the belt shows, or what you timed. km/h divided by 3.6." />
            <NumberField label="Filmed at (frames/s)" value_shown={before.filmed_rate_hz} least_shown=10.0 most_shown=2000.0 on_change={set_rate.clone()} {help} />
            { for proposed.iter().map(|rate_hz| html! {
                <div class="row"><p>{ format!("The file says that it was filmed at {rate_hz:.0} frames/s.") }</p>
                <button onclick={take(*rate_hz)}>{ format!("Use {rate_hz:.0} frames/s") }</button></div>
            }) }
        </>
    }
}

#[derive(Properties, PartialEq)]
struct RunnerFieldsProps {
    runner: Runner,
}

const TABLES: [(Table, &str, &str); 3] = [
    (
        Table::WinterDempster,
        "winter",
        "Winter 2009, after Dempster 1955: between the marks on the skin",
    ),
    (Table::DeLevaFemale, "leva-f", "de Leva 1996, women: between joint centres"),
    (Table::DeLevaMale, "leva-m", "de Leva 1996, men: between joint centres"),
];

/// Who runs: mass, height and the table of segments.
#[component]
fn RunnerFields(props: &RunnerFieldsProps) -> Html {
    let hands = use_hands();
    let set = |change: fn(&mut Runner, Option<f64>)| {
        let (hands, before) = (hands.clone(), props.runner.clone());
        Callback::from(move |value| {
            let mut runner = before.clone();
            change(&mut runner, value);
            hands.carry_out(Command::SetRunner(runner));
        })
    };
    let label = {
        let (hands, before) = (hands.clone(), props.runner.clone());
        Callback::from(move |label| {
            hands.carry_out(Command::SetRunner(Runner { label, ..before.clone() }))
        })
    };
    let choose_table = {
        let (hands, before) = (hands.clone(), props.runner.clone());
        Callback::from(move |event: Event| {
            use wasm_bindgen::JsCast;
            let chosen = event
                .target()
                .and_then(|t| t.dyn_into::<web_sys::HtmlSelectElement>().ok())
                .map(|s| s.value());
            let table = TABLES.iter().find(|(_, word, _)| Some(*word) == chosen.as_deref());
            if let Some((table, ..)) = table {
                hands.carry_out(Command::SetRunner(Runner { table: *table, ..before.clone() }));
            }
        })
    };
    html! {
        <>
            <TextField label="Name or code" value={props.runner.label.clone()} on_change={label} />
            <div class="row fields">
                <NumberField label="Body mass (kg)" value_shown={props.runner.mass_kg} least_shown=15.0 most_shown=300.0 on_change={set(|r, v| r.mass_kg = v)} />
                <NumberField label="Body height (m)" value_shown={props.runner.height_m} least_shown=0.8 most_shown=2.5 on_change={set(|r, v| r.height_m = v)} />
            </div>
            <div class="field">
                <label for="segment-table">{ "Segment table" }</label>
                <select id="segment-table" onchange={choose_table}>
                    { for TABLES.iter().map(|(table, word, name)| html! { <option value={*word} selected={*table == props.runner.table}>{ *name }</option> }) }
                </select>
            </div>
        </>
    }
}
