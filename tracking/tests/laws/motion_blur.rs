//! The motion blur of a sticker, measured in means of pictures of a moving sticker.

use crate::clip::{Clip, SIZE_PX};
use crate::common::{frame, pixel};
use image::{GrayImage, Luma};
use tracking::track::{Mode, MotionBlur, MotionExtremes, MovingFrame};

/// The mean of pictures of a sticker that moves over a length, as an open shutter sees it.
fn exposed(length_px: f64, (ux, uy): (f64, f64)) -> GrayImage {
    let count = 2 * length_px as usize + 1;
    let place = |k: usize| {
        let away = ((k as f64 + 0.5) / count as f64 - 0.5) * length_px;
        pixel(150.0 + away * ux, 60.0 + away * uy)
    };
    let instants = Clip::along(Mode::Sticker, (0..count).map(place).collect()).frames;
    GrayImage::from_fn(SIZE_PX.0, SIZE_PX.1, |x, y| {
        let sum: u32 = instants.iter().map(|i| u32::from(i.get_pixel(x, y).0[0])).sum();
        Luma([(f64::from(sum) / count as f64).round() as u8])
    })
}

#[test]
fn the_blur_of_a_sticker_is_as_long_as_its_motion_while_the_shutter_was_open() {
    let placed = Clip::along(Mode::Sticker, vec![pixel(60.0, 60.0)]);
    let blur = MotionBlur::of(frame(&placed.frames[0]), pixel(61.5, 58.8)).unwrap();
    for (turn, length_px) in [(0.0, 0.0), (0.4, 2.0), (0.9, 4.5), (1.3, 8.0), (2.2, 11.0)] {
        let (uy, ux) = f64::sin_cos(turn);
        let motion = (24.0 * ux, 24.0 * uy);
        let picture = exposed(length_px, (ux, uy));
        // As far off as a tracker may be.
        let measured = blur.length_px(frame(&picture), pixel(150.6, 59.5), motion).unwrap();
        println!("{length_px} px at {turn} rad: measured {measured:.2}");
        assert!((measured - length_px).abs() < 1.0, "{length_px}: {measured}");
    }
    let picture = exposed(15.0, (1.0, 0.0));
    let measured = blur.length_px(frame(&picture), pixel(150.0, 60.0), (30.0, 0.0)).unwrap();
    assert!(measured > 11.0 && measured <= blur.most_px(), "{measured} of {}", blur.most_px());
}

#[test]
fn a_slow_or_missing_sticker_and_cloth_have_no_measured_blur() {
    let placed = Clip::along(Mode::Sticker, vec![pixel(60.0, 60.0)]);
    let picture = frame(&placed.frames[0]);
    let blur = MotionBlur::of(picture, pixel(60.0, 60.0)).unwrap();
    let at = pixel(60.0, 60.0);
    assert!(blur.length_px(picture, at, (9.0, 0.0)).is_some());
    for motion in [(2.9, 0.0), (f64::INFINITY, 0.0), (f64::NAN, 0.0)] {
        assert_eq!(blur.length_px(picture, at, motion), None, "{motion:?}");
    }
    for elsewhere in [pixel(160.0, 60.0), pixel(-400.0, 60.0), pixel(f64::NAN, 60.0)] {
        assert_eq!(blur.length_px(picture, elsewhere, (9.0, 0.0)), None, "{elsewhere:?}");
    }
    let cloth = Clip::along(Mode::Skin, vec![pixel(60.0, 60.0)]);
    assert!(MotionBlur::of(frame(&cloth.frames[0]), pixel(60.0, 60.0)).is_none());
}

#[test]
fn the_extremes_are_those_of_frames_between_two_in_which_it_was_seen() {
    let places = [0.0, 1.0, 9.0, 10.0, 10.5, 10.75].map(|x| Some(pixel(x, 2.0 * x)));
    let extremes = MotionExtremes::of(&places).unwrap();
    assert_eq!(extremes.stillest, [4, 3, 2, 1]);
    let fastest: Vec<usize> = extremes.fastest.iter().map(|frame| frame.index).collect();
    // (9 - 0) / 2, (10 - 1) / 2, (10.5 - 9) / 2 and (10.75 - 10) / 2.
    assert_eq!(fastest, [1, 2, 3, 4]);
    assert_eq!(extremes.fastest[2].motion_px, (0.75, 1.5));
    let mut gaps = places;
    gaps[1] = None;
    let fastest = [
        MovingFrame { index: 3, motion_px: (0.75, 1.5) },
        MovingFrame { index: 4, motion_px: (0.375, 0.75) },
    ];
    assert_eq!(MotionExtremes::of(&gaps).unwrap().fastest, fastest);
    gaps[4] = None;
    assert_eq!(MotionExtremes::of(&gaps), None);
}
