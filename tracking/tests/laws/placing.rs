//! What the user's place of one marker says of it and of the others.

use crate::clip::{Clip, SIZE_PX};
use crate::common::{frame, pixel};
use tracking::image::ImagePoint;
use tracking::track::{Limb, MarkerStart, Mode, State, Tracker};

const NOWHERE: ImagePoint = ImagePoint { x_px: f64::NAN, y_px: f64::NAN };

/// A sticker that moves ever faster, by 4, 12, 20, 28, 36 px a frame.
fn accelerating() -> Clip {
    let path = |k: usize| pixel(30.0 + 4.0 * (k * k) as f64, 60.0);
    Clip::along(Mode::Sticker, (0..6).map(path).collect())
}

/// How far off the lower of two markers is in the frame after it was first placed, and its state there.
fn after_placing(limbs: &[Limb]) -> (f64, State) {
    let clip = accelerating();
    let below = f64::from(SIZE_PX.1);
    let pictures = Clip::stacked(&[&clip, &clip]);
    let starts = [clip.truth[0], NOWHERE].map(|at| MarkerStart { at, mode: Mode::Sticker });
    let mut tracker = Tracker::new(frame(&pictures[0]), &starts, limbs).unwrap();
    for picture in &pictures[1..=4] {
        let upper = tracker.step(frame(picture)).unwrap()[0];
        assert_eq!(upper.state, State::Seen, "{upper:?}");
    }
    tracker.anchor(frame(&pictures[4]), 1, clip.truth[4].moved(0.0, below));
    let sample = tracker.step(frame(&pictures[5])).unwrap()[1];
    (sample.at.distance_px(clip.truth[5].moved(0.0, below)), sample.state)
}

#[test]
fn a_marker_without_a_motion_of_its_own_moves_as_its_neighbours_do() {
    // It moves 36 px in the next frame, further than it would be searched if it were taken to stand still.
    for limbs in [vec![Limb::between(0, 1)], Vec::new()] {
        let (miss, state) = after_placing(&limbs);
        println!("{miss:.3} px off in the frame after it was placed, {state:?}");
        assert!(miss < 0.3 && state == State::Seen, "{miss} {state:?}");
    }
}

#[test]
fn a_marker_that_was_placed_twice_moves_as_it_did_between() {
    // 45 px a frame and no neighbours.
    let path = |k: usize| pixel(20.0 + 45.0 * k as f64, 60.0);
    let clip = Clip::along(Mode::Sticker, (0..5).map(path).collect());
    let start = MarkerStart { at: NOWHERE, mode: Mode::Sticker };
    let mut tracker = Tracker::new(frame(&clip.frames[0]), &[start], &[]).unwrap();
    for (k, picture) in clip.frames.iter().enumerate().skip(1) {
        let sample = tracker.step(frame(picture)).unwrap()[0];
        if k < 3 {
            tracker.anchor(frame(picture), 0, clip.truth[k]);
        } else {
            let miss = sample.at.distance_px(clip.truth[k]);
            assert!(sample.state == State::Seen && miss < 0.3, "frame {k}: {miss} {sample:?}");
        }
    }
}

#[test]
fn a_marker_gives_way_to_another_that_the_user_places() {
    let clip = Clip::swinging(Mode::Sticker);
    let starts = [NOWHERE, clip.truth[0]].map(|at| MarkerStart { at, mode: Mode::Sticker });
    let mut tracker = Tracker::new(frame(&clip.frames[0]), &starts, &[]).unwrap();
    for (k, picture) in clip.frames.iter().enumerate().skip(1) {
        let samples = tracker.step(frame(picture)).unwrap();
        if k == 8 {
            tracker.anchor(frame(picture), 0, clip.truth[k]);
        }
        if k > 8 {
            let miss = samples[0].at.distance_px(clip.truth[k]);
            assert!(samples[0].state == State::Seen && miss < 0.3, "frame {k}: {samples:?}");
            let unseen = matches!(samples[1].state, State::Coasting | State::Lost);
            assert!(unseen, "frame {k}: {samples:?}");
        }
    }
}
