//! Doubt along the time line: low bars for doubtful markers, high ones for lost ones, and the keyframes.

use crate::ui::sentences;
use document::session::{Certainty, Track, Trial};
use std::collections::BTreeSet;
use yew::prelude::*;

/// Height of the strip, and of a bar for each rank, in its own units.
const HEIGHT: u32 = 12;
const RANK_HEIGHT: u32 = 4;

/// The rank of doubt in a track: 0 sure or not tracked, 1 doubtful, 2 coasting, 3 lost.
fn rank(track: &Track, frame: u32) -> u32 {
    if track.followed.is_none_or(|(first, last)| !(first..=last).contains(&frame)) {
        return 0;
    }
    match track.sample(frame).map(|s| s.certainty) {
        None => 3,
        Some(Certainty::Coasting) => 2,
        Some(Certainty::Doubtful) => 1,
        Some(Certainty::Seen | Certainty::Placed) => 0,
    }
}

/// A run of frames with the same greatest rank.
struct Bar {
    first: usize,
    length: usize,
    rank: u32,
}

/// The runs of frames with any doubt.
fn bars(trial: &Trial, frames: u32) -> Vec<Bar> {
    let tracks = || trial.marker_set.landmarks().iter().filter_map(|l| trial.tracks.get(l));
    let ranks: Vec<u32> =
        (0..frames).map(|f| tracks().map(|t| rank(t, f)).max().unwrap_or(0)).collect();
    let mut bars = Vec::new();
    let mut first = 0;
    for run in ranks.chunk_by(|a, b| a == b) {
        if let Some(&rank @ 1..) = run.first() {
            bars.push(Bar { first, length: run.len(), rank });
        }
        first += run.len();
    }
    bars
}

/// The strip.
pub fn doubt_strip(trial: &Trial) -> Html {
    let frames = trial.clip.info.frame_count().max(1);
    let bars = bars(trial, frames);
    let keyframes: BTreeSet<u32> =
        trial.tracks.values().flat_map(|t| t.keyframes.keys().copied()).collect();
    html! {
        <svg class="strip doubt-strip" viewBox={format!("0 0 {frames} {HEIGHT}")} preserveAspectRatio="none" role="img"
            aria-label={sentences::tracking::doubt_strip(bars.len(), keyframes.len())}>
            <path class="rule" d={format!("M0 11.5H{frames}")} />
            { for bars.iter().map(bar_view) }
            { for keyframes.iter().map(|f| html! { <path class="keyframe" d={format!("M{f} 0V5")} /> }) }
        </svg>
    }
}

fn bar_view(bar: &Bar) -> Html {
    let height = RANK_HEIGHT * bar.rank;
    html! {
        <rect class={classes!("doubt", format!("rank-{}", bar.rank))} x={bar.first.to_string()} width={bar.length.to_string()} y={(HEIGHT - height).to_string()} height={height.to_string()} />
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::tests::sessions::{marked, tracked};

    #[test]
    fn a_trial_that_is_not_tracked_or_seen_all_the_way_has_no_bars() {
        for session in [marked(), tracked()] {
            let trial = &session.trials[0];
            assert!(bars(trial, trial.clip.info.frame_count()).is_empty());
        }
    }

    #[test]
    fn a_stretch_in_doubt_has_one_bar_as_long_as_it_is() {
        let session = tracked();
        let mut trial = Trial::clone(&session.trials[0]);
        let landmark = trial.marker_set.landmarks()[0];
        let track = std::rc::Rc::make_mut(trial.tracks.get_mut(&landmark).unwrap());
        for sample in track.samples[10..15].iter_mut().flatten() {
            sample.certainty = Certainty::Coasting;
        }
        let bars = bars(&trial, trial.clip.info.frame_count());
        let shapes: Vec<_> = bars.iter().map(|b| (b.first, b.length, b.rank)).collect();
        assert_eq!(shapes, [(10, 5, 2)]);
    }
}
