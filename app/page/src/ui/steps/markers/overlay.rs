//! The marks over the picture, filled by their certainty, and doubt along the time line.

use super::touch::Drag;
use crate::ui::components::name_of;
use document::results::scene::{scene, trail};
use document::session::{Certainty, TrackSample, Trial};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use std::collections::BTreeMap;
use yew::prelude::*;

type Live = BTreeMap<Landmark, Option<TrackSample>>;

/// Draws the marks of a frame: seen filled, doubtful half filled, coasting open, gone none.
pub fn marks_over(
    trial: &Trial,
    frame: u32,
    chosen: Option<Landmark>,
    (drag, cross): (Option<Drag>, Option<Pixel>),
    live: Option<&Live>,
) -> Html {
    let unit = f64::from(trial.clip.info.width_px) / 200.0;
    if let Some(live) = live {
        let marks = live.iter().filter_map(|(l, s)| Some((*l, (*s)?)));
        return marks.map(|(l, s)| mark(s.at, s.certainty, unit, Some(l) == chosen)).collect();
    }
    let scene = scene(trial, frame);
    let dragged = drag.filter(|d| d.frame == frame);
    let held = |l: Landmark| dragged.is_some_and(|d| d.landmark == l);
    html! {
        <>
            { chosen.filter(|_| dragged.is_none()).map(|l| way(trial, l, frame)) }
            { for scene.lines.iter().filter(|_| dragged.is_none()).map(|line| html! {
                <line class={classes!("bone", (!line.is_sure).then_some("unsure"))}
                    x1={line.from.x_px.to_string()} y1={line.from.y_px.to_string()} x2={line.to.x_px.to_string()} y2={line.to.y_px.to_string()} />
            }) }
            { for scene.points.iter().filter(|p| !held(p.landmark)).map(|p| mark(p.at, p.certainty, unit, Some(p.landmark) == chosen)) }
            { for dragged.iter().map(|d| html! { <>{ crosshair(d.at, unit) }{ caption(d.landmark, d.at, unit) }</> }) }
            { for cross.iter().filter(|_| dragged.is_none()).map(|at| crosshair(*at, unit)) }
        </>
    }
}

fn mark(at: Pixel, certainty: Certainty, unit: f64, chosen: bool) -> Html {
    let class = match certainty {
        Certainty::Placed => "placed",
        Certainty::Seen => "seen",
        Certainty::Doubtful => "doubtful",
        Certainty::Coasting => "coasting",
    };
    let (x, y, r) = (at.x_px, at.y_px, unit);
    let half = format!("M{x} {} A{r} {r} 0 0 0 {x} {} Z", y - r, y + r);
    html! {
        <g class={classes!("mark", class, chosen.then_some("chosen"))}>
            if chosen {
                <circle class="ring" cx={x.to_string()} cy={y.to_string()} r={(unit * 2.6).to_string()} />
            }
            <circle class="rim" cx={x.to_string()} cy={y.to_string()} r={r.to_string()} />
            <circle class="body" cx={x.to_string()} cy={y.to_string()} r={r.to_string()} />
            if certainty == Certainty::Doubtful {
                <path class="half" d={half} />
            }
        </g>
    }
}

/// Frames before and after the one shown in which the way of the chosen marker is drawn.
const TRAIL_FRAMES: u32 = 30;

/// Where the chosen marker was just before and goes just after: a jump is seen at a glance.
fn way(trial: &Trial, landmark: Landmark, frame: u32) -> Html {
    let pieces = trail(trial, landmark, frame, TRAIL_FRAMES);
    let point = |p: &Pixel| format!("{:.1},{:.1}", p.x_px, p.y_px);
    let draw = |piece: Vec<Pixel>| {
        let points: Vec<String> = piece.iter().map(point).collect();
        let points = points.join(" ");
        html! { <><polyline class="way under" points={points.clone()} /><polyline class="way" {points} /></> }
    };
    pieces.into_iter().map(draw).collect()
}

fn crosshair(at: Pixel, unit: f64) -> Html {
    let (x, y, gap, arm) = (at.x_px, at.y_px, unit * 0.8, unit * 4.0);
    let d = format!(
        "M{} {y}H{} M{} {y}H{} M{x} {}V{} M{x} {}V{}",
        x - arm,
        x - gap,
        x + gap,
        x + arm,
        y - arm,
        y - gap,
        y + gap,
        y + arm
    );
    html! { <g class="aim"><path class="rim" d={d.clone()} /><path d={d} /></g> }
}

fn caption(landmark: Landmark, at: Pixel, unit: f64) -> Html {
    html! {
        <text class="caption" x={(at.x_px + unit * 5.0).to_string()} y={(at.y_px - unit * 3.0).to_string()} font-size={(unit * 4.0).to_string()}>
            { name_of(landmark) }
        </text>
    }
}

/// Along the time line: how many markers are in doubt (half height) or not seen (full height), and the keyframes.
pub fn doubt_strip(trial: &Trial) -> Html {
    let frames = trial.clip.info.frame_count().max(1);
    let rank = |frame: u32| {
        let worst = trial.marker_set.landmarks().iter().filter_map(|l| trial.tracks.get(l)).map(
            |t| match t.sample(frame).map(|s| s.certainty) {
                _ if t.followed.is_none_or(|(first, last)| !(first..=last).contains(&frame)) => 0,
                None => 3,
                Some(Certainty::Coasting) => 2,
                Some(Certainty::Doubtful) => 1,
                Some(_) => 0,
            },
        );
        worst.max().unwrap_or(0)
    };
    let ranks: Vec<u8> = (0..frames).map(rank).collect();
    let mut bars = Vec::new();
    let mut start = 0;
    for run in ranks.chunk_by(|a, b| a == b) {
        if let Some(&rank @ 1..) = run.first() {
            bars.push((start, run.len(), rank));
        }
        start += run.len();
    }
    let keyframes: std::collections::BTreeSet<u32> =
        trial.tracks.values().flat_map(|t| t.keyframes.keys().copied()).collect();
    html! {
        <svg class="strip doubt-strip" viewBox={format!("0 0 {frames} 12")} preserveAspectRatio="none" role="img"
            aria-label={format!("{} stretches of the clip are in doubt; {} frames have marks placed by hand", bars.len(), keyframes.len())}>
            <path class="rule" d={format!("M0 11.5H{frames}")} />
            { for bars.iter().map(|(x, w, rank)| html! {
                <rect class={classes!("doubt", format!("rank-{rank}"))} x={x.to_string()} width={w.to_string()} y={(12 - 4 * u32::from(*rank)).to_string()} height={(4 * u32::from(*rank)).to_string()} />
            }) }
            { for keyframes.iter().map(|f| html! { <path class="keyframe" d={format!("M{f} 0V5")} /> }) }
        </svg>
    }
}
