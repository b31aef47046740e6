//! A following before a camera that pans: the camera is noticed, and its way through the clip is found in upright pixels.

#![allow(clippy::unwrap_used, reason = "tests: a failure is the answer")]

mod common;

use document::session::MarkerMode;
use jobs::{CameraRun, FollowMarker, FollowPlan, FollowRun};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use media::{Orientation, Picture};
use tracking::image::GreyFrame;

const WIDTH: usize = 640;
const HEIGHT: usize = 360;
const FRAMES: u32 = 30;

/// A number from 0 to 255 for a whole place, well spread (the finalizer of SplitMix, Steele et al. 2014).
fn hash(x: i64, y: i64) -> f64 {
    let mut z = (x as u64)
        .wrapping_mul(0x9E37_79B9_7F4A_7C15)
        .wrapping_add((y as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F));
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 56) as f64
}

/// A wall with features of some nine pixels.
fn wall(x_px: f64, y_px: f64) -> f64 {
    let (x, y) = (x_px / 9.0, y_px / 9.0);
    let (c, r) = (x.floor(), y.floor());
    let smooth = |u: f64| u * u * (3.0 - 2.0 * u);
    let (u, v) = (smooth(x - c), smooth(y - r));
    let at = |i: i64, j: i64| hash(c as i64 + i, r as i64 + j);
    let line = |j| (1.0 - u) * at(0, j) + u * at(1, j);
    60.0 + 0.5 * ((1.0 - v) * line(0) + v * line(1))
}

/// How far the wall has gone to the left in this frame.
fn panned_px(pan_px: f64, frame: u32) -> f64 {
    pan_px * f64::from(frame)
}

/// The wall as the camera sees it, before it a disc with a ring that the camera keeps near the middle.
fn draw(pan_px: f64, frame: u32) -> (Vec<u8>, Pixel) {
    let sticker = Pixel { x_px: 320.0 + 0.5 * f64::from(frame), y_px: 180.0 };
    let level = |index: usize| {
        let (x, y) = ((index % WIDTH) as f64, (index / WIDTH) as f64);
        let away = (x - sticker.x_px).hypot(y - sticker.y_px);
        let inside = |radius: f64| (radius + 0.5 - away).clamp(0.0, 1.0);
        let mut level = wall(x + panned_px(pan_px, frame), y);
        level += (20.0 - level) * inside(8.0);
        level += (235.0 - level) * inside(4.5);
        level as u8
    };
    ((0..WIDTH * HEIGHT).map(level).collect(), sticker)
}

fn picture(orientation: Orientation) -> Picture {
    common::picture((WIDTH as u32, HEIGHT as u32), orientation)
}

fn view(bytes: &[u8]) -> GreyFrame<'_> {
    GreyFrame::new(WIDTH, HEIGHT, WIDTH, bytes).unwrap()
}

/// Follows the sticker through the whole clip from the frame where it is marked.
fn followed(picture: Picture, pan_px: f64, marked_in: u32) -> FollowRun {
    let at = picture.upright_from_coded(draw(pan_px, marked_in).1);
    let keyframes = vec![(marked_in, at)];
    let marker = FollowMarker { landmark: Landmark::NearHip, mode: MarkerMode::Sticker, keyframes };
    let plan = FollowPlan { first: 0, last: FRAMES - 1, markers: vec![marker], correction: None };
    let mut run = FollowRun::new(plan, picture, FRAMES).unwrap();
    while let Some(frame) = run.wanted() {
        run.take(view(&draw(pan_px, frame).0)).unwrap();
    }
    run
}

#[test]
fn a_pan_is_noticed_and_brought_into_one_frame_of_the_ground() {
    for quarter_turns in 0..4 {
        let picture = picture(Orientation { quarter_turns, mirrored: quarter_turns == 2 });
        let (pan_px, marked_in) = (4.0, if quarter_turns == 1 { 15 } else { 0 });
        let run = followed(picture, pan_px, marked_in);
        assert!(run.camera_moved());
        let mut look = CameraRun::new(picture, &run.finish(), FRAMES);
        while let Some(frame) = look.wanted() {
            look.take(view(&draw(pan_px, frame).0)).unwrap();
        }
        let path = look.finish().unwrap();
        assert_eq!(path.poses.len(), FRAMES as usize);
        assert!(path.residual_px < 0.3, "{}", path.residual_px);
        for frame in 0..FRAMES {
            for (x_px, y_px) in [(200.0, 60.0), (600.0, 60.0), (200.0, 300.0), (600.0, 300.0)] {
                let was = picture.upright_from_coded(Pixel { x_px, y_px });
                let x_px = x_px - panned_px(pan_px, frame);
                let is = picture.upright_from_coded(Pixel { x_px, y_px });
                let found = path.pose(frame).to_ground(is);
                let off_px = (found.x_px - was.x_px).hypot(found.y_px - was.y_px);
                // Some thirty steps add up, each of some thirty places of a tenth of a pixel.
                assert!(off_px < 0.6, "turned {quarter_turns}, frame {frame}: {off_px} px");
            }
        }
    }
}

#[test]
fn a_camera_that_stands_still_is_left_alone() {
    let picture = picture(Orientation::default());
    let run = followed(picture, 0.0, 0);
    assert!(!run.camera_moved());
    let mut look = CameraRun::new(picture, &run.finish(), FRAMES);
    while let Some(frame) = look.wanted() {
        look.take(view(&draw(0.0, frame).0)).unwrap();
    }
    assert_eq!(look.finish(), None);
}

#[test]
fn a_look_that_is_given_up_tells_nothing() {
    let picture = picture(Orientation::default());
    let mut look = CameraRun::new(picture, &(0, [].into()), FRAMES);
    for frame in 0..9 {
        look.take(view(&draw(4.0, frame).0)).unwrap();
    }
    assert_eq!(look.finish(), None);
}

/// Pictures before a camera that stands still; where `hidden`, nothing is to be seen beside the sticker.
fn with_hidden(hidden: impl Fn(u32) -> bool) -> Vec<Vec<u8>> {
    let shown = |frame: u32| {
        let (mut bytes, sticker) = draw(0.0, frame);
        let plain = hidden(frame);
        for (k, value) in bytes.iter_mut().enumerate() {
            let (x, y) = ((k % WIDTH) as f64, (k / WIDTH) as f64);
            if plain && (x - sticker.x_px).hypot(y - sticker.y_px) > 30.0 {
                *value = 90;
            }
        }
        bytes
    };
    (0..FRAMES).map(shown).collect()
}

/// Follows the sticker from the first frame through these pictures.
fn followed_through(pictures: &[Vec<u8>]) -> FollowRun {
    let picture = picture(Orientation::default());
    let keyframes = vec![(0, draw(0.0, 0).1)];
    let marker = FollowMarker { landmark: Landmark::NearHip, mode: MarkerMode::Sticker, keyframes };
    let plan = FollowPlan { first: 0, last: FRAMES - 1, markers: vec![marker], correction: None };
    let mut run = FollowRun::new(plan, picture, FRAMES).unwrap();
    while let Some(frame) = run.wanted() {
        run.take(view(&pictures[frame as usize])).unwrap();
    }
    run
}

#[test]
fn what_hides_the_wall_for_a_while_is_no_movement_and_what_hides_it_to_the_end_may_be_one() {
    let for_a_while = with_hidden(|frame| (6..18).contains(&frame));
    assert!(!followed_through(&for_a_while).camera_moved());
    assert!(followed_through(&with_hidden(|frame| frame >= 20)).camera_moved());
}

/// The frames that a look at the whole clip takes; it finds no movement in them.
fn taken_by_a_look(pictures: &[Vec<u8>]) -> u32 {
    let run = followed_through(pictures);
    assert!(!run.camera_moved());
    let mut look = CameraRun::new(picture(Orientation::default()), &run.finish(), FRAMES);
    let mut taken = 0;
    while let Some(frame) = look.wanted() {
        look.take(view(&pictures[frame as usize])).unwrap();
        taken += 1;
    }
    assert_eq!(look.finish(), None);
    taken
}

#[test]
fn before_a_plain_wall_no_second_look_is_taken_as_it_could_not_tell_either() {
    assert_eq!(taken_by_a_look(&with_hidden(|_| true)), 1);
}

/// Adds nearly normal noise of so many grey levels.
fn add_noise(pictures: &mut [Vec<u8>], deviation: f64) {
    for (frame, bytes) in pictures.iter_mut().enumerate() {
        for (k, value) in bytes.iter_mut().enumerate() {
            // Three even numbers of a deviation of 255 / sqrt(12) each are nearly normal together.
            let even = |part: i64| hash(k as i64, 3 * frame as i64 + part + 1000) - 127.5;
            let level = f64::from(*value) + deviation * (even(0) + even(1) + even(2)) / 127.5;
            *value = (level + 0.5).clamp(0.0, 255.0) as u8;
        }
    }
}

#[test]
fn noise_on_a_plain_wall_is_no_movement_and_costs_no_second_look() {
    for noise in [2.5, 5.5, 11.0] {
        let mut pictures = with_hidden(|_| true);
        add_noise(&mut pictures, noise);
        // The first frame and eight more, in each of which nothing stands above the noise; none where all is plain.
        assert!(taken_by_a_look(&pictures) <= 9);
    }
}

#[test]
fn noise_that_hides_what_the_wall_does_is_no_movement_but_a_wall_that_goes_away_under_it_is() {
    let wall_of = |contrast: f64, gone: bool| {
        let mut pictures: Vec<Vec<u8>> = (0..FRAMES)
            .map(|frame| draw(if gone && frame >= 20 { 50.0 } else { 0.0 }, frame).0)
            .collect();
        for value in pictures.iter_mut().flatten() {
            *value = (90.0 + contrast * (f64::from(*value) - 90.0)) as u8;
        }
        add_noise(&mut pictures, 8.0);
        pictures
    };
    for contrast in [0.2, 0.25, 0.4] {
        assert!(!followed_through(&wall_of(contrast, false)).camera_moved(), "{contrast}");
        assert!(followed_through(&wall_of(contrast, true)).camera_moved(), "{contrast}");
    }
}
