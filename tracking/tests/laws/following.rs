//! A marker that is visible in every frame is followed along its path.

use crate::clip::{Clip, SIZE_PX};
use crate::common::{frame, pixel, spread};
use tracking::track::{MarkerStart, Mode, Sample, State, Tracker};

const MODES: [Mode; 2] = [Mode::Sticker, Mode::Skin];

fn all_seen(samples: &[Sample]) {
    assert!(samples.iter().all(|s| s.state == State::Seen), "{samples:?}");
    assert!(samples.iter().all(|s| s.p_wrong < 0.1), "{samples:?}");
}

#[test]
fn a_marker_that_moves_by_whole_pixels_is_followed_to_a_fiftieth_of_a_pixel() {
    let path = |k: usize| pixel(45.0 + 4.0 * k as f64, 50.0 + f64::from((k % 6) as u32));
    for mode in MODES {
        let clip = Clip::along(mode, (0..30).map(path).collect());
        let samples = clip.follow();
        all_seen(&samples);
        let (median, worst) = spread(clip.misses(&samples));
        println!("{mode:?} by whole pixels: median {median:.4} px, worst {worst:.4} px");
        assert!(median < 0.02 && worst < 0.05, "{mode:?}: {median} {worst}");
    }
}

#[test]
fn a_marker_that_moves_by_fractions_is_followed_to_a_twentieth_of_a_pixel() {
    for mode in MODES {
        let clip = Clip::swinging(mode);
        let samples = clip.follow();
        all_seen(&samples);
        let (median, worst) = spread(clip.misses(&samples));
        println!("{mode:?} by fractions: median {median:.4} px, worst {worst:.4} px");
        assert!(median < 0.05 && worst < 0.15, "{mode:?}: {median} {worst}");
    }
}

#[test]
fn a_marker_that_stands_still_in_a_still_picture_stays_where_it_is() {
    for mode in MODES {
        let clip = Clip::along(mode, vec![pixel(80.25, 60.5); 20]);
        let samples = clip.follow();
        all_seen(&samples);
        let drift = samples.iter().map(|s| s.at.distance_px(samples[0].at));
        assert!(drift.fold(0.0, f64::max) < 1e-3, "{mode:?}: {samples:?}");
        assert!(samples[0].at.distance_px(clip.truth[0]) < 0.1, "{mode:?}: {samples:?}");
    }
}

#[test]
fn a_marker_that_is_placed_again_goes_on_from_there() {
    for mode in MODES {
        let clip = Clip::swinging(mode);
        let start = MarkerStart { at: clip.truth[0], mode };
        let mut tracker = Tracker::new(frame(&clip.frames[0]), &[start], &[]).unwrap();
        for (k, picture) in clip.frames.iter().enumerate().skip(1) {
            let sample = tracker.step(frame(picture)).unwrap()[0];
            let miss = sample.at.distance_px(clip.truth[k]);
            assert!(miss < 0.15, "{mode:?} frame {k}: {miss}");
            if k == 12 {
                tracker.anchor(frame(picture), 0, clip.truth[k]);
            }
        }
    }
}

#[test]
fn two_markers_are_followed_as_each_is_alone() {
    let (upper, lower) = (Clip::swinging(Mode::Sticker), Clip::swinging(Mode::Skin));
    let height = f64::from(SIZE_PX.1);
    let both = Clip::stacked(&[&upper, &lower]);
    let starts = [
        MarkerStart { at: upper.truth[0], mode: Mode::Sticker },
        MarkerStart { at: lower.truth[0].moved(0.0, height), mode: Mode::Skin },
    ];
    let mut tracker = Tracker::new(frame(&both[0]), &starts, &[]).unwrap();
    for (k, picture) in both.iter().enumerate().skip(1) {
        let samples = tracker.step(frame(picture)).unwrap();
        let truth = [upper.truth[k], lower.truth[k].moved(0.0, height)];
        for (sample, truth) in samples.iter().zip(truth) {
            assert_eq!(sample.state, State::Seen);
            assert!(sample.at.distance_px(truth) < 0.15, "frame {k}: {sample:?} {truth:?}");
        }
    }
}
