//! A hidden marker coasts, is lost in the end, and is found when it is visible again.

use crate::clip::{Clip, SIZE_PX};
use crate::common::{frame, pixel};
use std::ops::Range;
use tracking::track::{Limb, MarkerStart, Mode, Sample, State, Tracker};

const MODES: [Mode; 2] = [Mode::Sticker, Mode::Skin];
const HIDDEN: Range<usize> = 14..22;

fn is_unseen(sample: &Sample) -> bool {
    matches!(sample.state, State::Coasting | State::Lost)
}

/// A marker that moves evenly, hidden for eight frames.
fn hidden(mode: Mode, px_per_frame: f64) -> Clip {
    let path = |k: usize| pixel(45.0 + px_per_frame * k as f64, 55.0 + 0.4 * k as f64);
    Clip::along(mode, (0..36).map(path).collect()).behind_a_bar(HIDDEN)
}

#[test]
fn a_marker_behind_a_bar_coasts() {
    for mode in MODES {
        let samples = hidden(mode, 2.3).follow();
        for (k, sample) in samples.iter().enumerate().map(|(k, s)| (k + 1, s)) {
            assert_eq!(is_unseen(sample), HIDDEN.contains(&k), "{mode:?} frame {k}: {sample:?}");
        }
    }
}

#[test]
fn the_longer_a_marker_is_hidden_the_less_certain_is_its_place() {
    for mode in MODES {
        let samples = hidden(mode, 2.3).follow();
        let p: Vec<f64> = HIDDEN.map(|k| samples[k - 1].p_wrong).collect();
        assert!(p.windows(2).all(|w| w[1] > w[0]), "{mode:?}: {p:?}");
        assert!(p[0] > samples[HIDDEN.start - 2].p_wrong, "{mode:?}: {p:?}");
    }
}

#[test]
fn a_marker_that_reappears_from_behind_a_bar_is_found_at_once() {
    for mode in MODES {
        for speed in [0.0, 2.3, 3.9] {
            let clip = hidden(mode, speed);
            let samples = clip.follow();
            let misses = clip.misses(&samples);
            let after = &misses[HIDDEN.end - 1..];
            let worst = after.iter().copied().fold(0.0, f64::max);
            println!("{mode:?} at {speed} px a frame: {:.3} px, worst {worst:.3} px", after[0]);
            assert!(worst < 0.3, "{mode:?} {speed}: {after:?}");
        }
    }
}

#[test]
fn a_marker_that_stopped_behind_a_bar_is_found_far_from_its_prediction() {
    // 3 px a frame until it is hidden, then at rest: far from where it was heading, so that it must be searched.
    for mode in MODES {
        let path = |k: usize| pixel(60.0 + 3.0 * k.min(HIDDEN.start) as f64, 58.0);
        let clip = Clip::along(mode, (0..30).map(path).collect()).behind_a_bar(HIDDEN);
        let samples = clip.follow();
        let expected = samples[HIDDEN.end - 2].at.distance_px(clip.truth[HIDDEN.end]);
        let worst = clip.misses(&samples)[HIDDEN.end - 1..].iter().copied().fold(0.0, f64::max);
        println!("{mode:?}: {expected:.1} px past it while hidden, then worst {worst:.3} px");
        assert!(expected > 8.0 && worst < 0.3, "{mode:?}: {expected} {worst}");
    }
}

/// How far off the lowest of three markers that swing together is while only it is hidden.
fn misses_hidden(limbs: &[Limb]) -> Vec<f64> {
    let seen = Clip::swinging(Mode::Sticker);
    let hidden = seen.clone().behind_a_bar(HIDDEN);
    let down = f64::from(SIZE_PX.1);
    let starts = [0.0, down, 2.0 * down]
        .map(|below| MarkerStart { at: seen.truth[0].moved(0.0, below), mode: Mode::Sticker });
    let pictures = Clip::stacked(&[&seen, &seen, &hidden]);
    let mut tracker = Tracker::new(frame(&pictures[0]), &starts, limbs).unwrap();
    let mut misses = Vec::new();
    for (k, picture) in pictures.iter().enumerate().skip(1) {
        let sample = tracker.step(frame(picture)).unwrap()[2];
        assert_eq!(is_unseen(&sample), HIDDEN.contains(&k), "frame {k}: {sample:?}");
        if HIDDEN.contains(&k) {
            misses.push(sample.at.distance_px(seen.truth[k].moved(0.0, 2.0 * down)));
        }
    }
    misses
}

#[test]
fn a_hidden_marker_is_carried_by_two_that_are_joined_to_it_and_to_each_other() {
    let limb = Limb::between;
    let carried = misses_hidden(&[limb(0, 1), limb(0, 2), limb(1, 2)]);
    let alone = misses_hidden(&[]);
    println!("hidden: carried {carried:.1?} px off, alone {alone:.1?} px off");
    let worst = |v: &[f64]| v.iter().copied().fold(0.0, f64::max);
    assert!(worst(&carried) < 1.0 && worst(&alone) > 12.0, "{carried:?} {alone:?}");
}

/// A marker that moves straight out of the picture; by frame 26 all of it is outside.
fn leaving(mode: Mode, along: f64) -> Vec<Sample> {
    let start = 0.5 * f64::from(SIZE_PX.0);
    let path = |k: usize| pixel(start + along * 6.0 * k as f64, 60.0);
    Clip::along(mode, (0..60).map(path).collect()).follow()
}

#[test]
fn a_marker_that_leaves_the_picture_keeps_every_number_finite() {
    for mode in MODES {
        for sample in [-1.0, 1.0].into_iter().flat_map(|along| leaving(mode, along)) {
            assert!(sample.at.x_px.is_finite() && sample.at.y_px.is_finite(), "{sample:?}");
            assert!((0.0..=1.0).contains(&sample.p_wrong), "{sample:?}");
        }
    }
}

#[test]
fn nothing_outside_the_picture_is_seen() {
    for mode in MODES {
        for sample in [-1.0, 1.0].into_iter().flat_map(|along| leaving(mode, along)) {
            let outside = sample.at.x_px < -0.5 || sample.at.x_px > f64::from(SIZE_PX.0) - 0.5;
            assert!(!outside || is_unseen(&sample), "{mode:?}: {sample:?}");
        }
    }
}

// This is not claimed of cloth: its surroundings may look enough like it to be taken for it.

#[test]
fn a_sticker_that_leaves_the_picture_is_lost_in_the_end() {
    for along in [-1.0, 1.0] {
        let samples = leaving(Mode::Sticker, along);
        assert!(samples[25..].iter().all(is_unseen), "{along}: {samples:?}");
        assert_eq!(samples[58].state, State::Lost, "{along}");
    }
}

#[test]
fn a_sticker_that_never_comes_back_coasts_and_is_lost_in_the_end() {
    // Gone from frame 10 on, its ground left as it was.
    let path = |k: usize| pixel(60.0 + 2.0 * k as f64, 60.0);
    let mut clip = Clip::along(Mode::Sticker, (0..40).map(path).collect());
    let ground = Clip::along(Mode::Sticker, vec![pixel(1e4, 1e4)]).frames[0].clone();
    clip.frames.iter_mut().skip(10).for_each(|picture| picture.clone_from(&ground));
    let samples = clip.follow();
    assert!(samples[..9].iter().all(|s| s.state == State::Seen), "{samples:?}");
    assert!(samples[9..].iter().all(is_unseen), "{samples:?}");
    assert!(samples[9..].iter().all(|s| s.p_wrong > 0.3), "{samples:?}");
    assert_eq!(samples[38].state, State::Lost);
}
