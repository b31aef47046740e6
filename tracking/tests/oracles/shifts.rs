//! Known shifts, hidden markers and reversed time.

use super::picture::{SIZE, moved, places, region};
use tracking::image::{GreyFrame, ImagePoint};
use tracking::point::{FlowScratch, flow};
use tracking::track::{MarkerStart, Mode, State, Tracker};

#[test]
fn flow_finds_quarters_of_a_pixel_to_hundredths() {
    let from = moved(0, 0);
    let mut misses = Vec::new();
    for (right, down) in [(1, 0), (2, -3), (7, 5), (-14, 9), (25, -22), (40, 31)] {
        let to = moved(right, down);
        for at in places() {
            let (a, b) = (region(&from, at), region(&to, at));
            let found = flow(a.point(at), b.point(at), 10, &mut FlowScratch::default()).unwrap();
            let truth = at.moved(0.25 * right as f64, 0.25 * down as f64);
            misses.push(found.distance_px(truth));
        }
    }
    misses.sort_by(f64::total_cmp);
    // Whole grey levels and straight lines between pixels leave hundredths.
    assert!(misses[misses.len() / 2] < 0.02, "median {}", misses[misses.len() / 2]);
    assert!(misses[misses.len() * 95 / 100] < 0.05, "p95 {}", misses[misses.len() * 95 / 100]);
}

#[test]
fn flow_there_and_back_ends_at_its_start() {
    let (from, to) = (moved(0, 0), moved(18, -13));
    for at in places() {
        let (a, b) = (region(&from, at), region(&to, at));
        let scratch = &mut FlowScratch::default();
        let there = flow(a.point(at), b.point(at), 10, scratch).unwrap();
        let back = flow(b.point(there), a.point(there), 10, scratch).unwrap();
        assert!(back.distance_px(at) < 0.03, "{at:?} {back:?}");
    }
}

/// A white disc with a dark middle on the texture, each pixel the mean of 16 points, unless it is hidden.
fn sticker(frame: usize, hidden: bool) -> (Vec<u8>, ImagePoint) {
    let t = frame as f64;
    let centre = ImagePoint { x_px: 50.0 + 2.3 * t, y_px: 80.0 + 0.05 * (t - 12.0) * (t - 12.0) };
    let mut bytes = moved(0, 0);
    for (index, byte) in bytes.iter_mut().enumerate().filter(|_| !hidden) {
        let (x, y) = ((index % SIZE) as f64, (index / SIZE) as f64);
        let part = |k: u32| {
            let (dx, dy) = (f64::from(k % 4) / 4.0 - 0.375, f64::from(k / 4) / 4.0 - 0.375);
            let radius_px = centre.distance_px(ImagePoint { x_px: x + dx, y_px: y + dy });
            match radius_px {
                r if r < 3.0 => 20.0,
                r if r < 6.5 => 240.0,
                _ => f64::from(*byte),
            }
        };
        *byte = ((0..16).map(part).sum::<f64>() / 16.0 + 0.5) as u8;
    }
    (bytes, centre)
}

#[test]
fn a_hidden_sticker_is_not_seen_and_is_found_again() {
    let hidden = |frame: usize| (8..13).contains(&frame);
    let (first, start) = sticker(0, false);
    let begin = [MarkerStart { at: start, mode: Mode::Sticker }];
    let picture = GreyFrame::new(SIZE, SIZE, SIZE, &first).unwrap();
    let mut tracker = Tracker::new(picture, &begin, &[]).unwrap();
    for number in 1..25 {
        let (bytes, truth) = sticker(number, hidden(number));
        let picture = GreyFrame::new(SIZE, SIZE, SIZE, &bytes).unwrap();
        let sample = tracker.step(picture).unwrap()[0];
        let miss = sample.at.distance_px(truth);
        if hidden(number) {
            assert_ne!(sample.state, State::Seen, "frame {number}");
        } else if !(8..=14).contains(&number) {
            assert_eq!(sample.state, State::Seen, "frame {number}: {miss} px off");
            assert!(miss < 0.15, "frame {number}: {miss} px off");
        }
    }
}

#[test]
fn a_sticker_followed_backwards_takes_the_same_path() {
    let follow = |numbers: Vec<usize>| {
        let (first, start) = sticker(numbers[0], false);
        let picture = GreyFrame::new(SIZE, SIZE, SIZE, &first).unwrap();
        let begin = [MarkerStart { at: start, mode: Mode::Sticker }];
        let mut tracker = Tracker::new(picture, &begin, &[]).unwrap();
        let step = |number: &usize| {
            let (bytes, _) = sticker(*number, false);
            tracker.step(GreyFrame::new(SIZE, SIZE, SIZE, &bytes).unwrap()).unwrap()[0].at
        };
        numbers[1..].iter().map(step).collect::<Vec<_>>()
    };
    let there = follow((0..25).collect());
    let mut back = follow((0..25).rev().collect());
    back.reverse();
    // The first frame of the one is the last of the other; those between are in both.
    for (a, b) in there.iter().take(23).zip(back.iter().skip(1)) {
        assert!(a.distance_px(*b) < 0.15, "{a:?} {b:?}");
    }
}
