//! Trying a following out on a drawn sticker that swings ever faster under a shutter that is open for a share of each frame.

#![allow(clippy::unwrap_used, reason = "tests: a failure is the answer")]

mod common;

use document::session::{MarkerMode, TrackSample};
use jobs::{FollowMarker, FollowPlan, FollowRun, Tryout, TryoutRun, tryout_plan};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use media::{Orientation, Picture};
use tracking::image::GreyFrame;

const WIDTH: usize = 400;
const HEIGHT: usize = 160;
const FRAMES: u32 = 48;
const LANDMARK: Landmark = Landmark::NearHeel;
/// How often the exposure is sampled.
const INSTANTS: u32 = 9;

/// Where the sticker is: to and fro in 24 frames, at its fastest by 16 px a frame.
fn truth(frame: f64) -> (f64, f64) {
    let turn = std::f64::consts::TAU / 24.0;
    (200.0 - 16.0 / turn * (frame * turn).cos(), 80.0)
}

fn draw(frame: u32, open_ratio: f64) -> Vec<u8> {
    let late = |instant: u32| (f64::from(instant) + 0.5) / f64::from(INSTANTS) - 0.5;
    let places: Vec<(f64, f64)> =
        (0..INSTANTS).map(|k| truth(f64::from(frame) + late(k) * open_ratio)).collect();
    let mut bytes = Vec::with_capacity(WIDTH * HEIGHT);
    for k in 0..WIDTH * HEIGHT {
        let (x, y) = ((k % WIDTH) as f64, (k / WIDTH) as f64);
        let ground = 110.0 + 14.0 * (x / 11.0).sin() + 14.0 * (y / 7.0 + x / 31.0).cos();
        let seen = |(at_x, at_y): &(f64, f64)| {
            let away = (x - at_x).hypot(y - at_y);
            let inside = |radius: f64| (radius + 0.5 - away).clamp(0.0, 1.0);
            let level = ground + (20.0 - ground) * inside(8.0);
            level + (235.0 - level) * inside(4.5)
        };
        let level = match places.first() {
            Some((_, at_y)) if (y - at_y).abs() < 9.0 => {
                places.iter().map(seen).sum::<f64>() / f64::from(INSTANTS)
            }
            _ => ground,
        };
        bytes.push(level as u8);
    }
    bytes
}

fn picture() -> Picture {
    let orientation = Orientation { quarter_turns: 2, mirrored: false };
    common::picture((WIDTH as u32, HEIGHT as u32), orientation)
}

fn plan() -> FollowPlan {
    let (x_px, y_px) = truth(0.0);
    let at = picture().upright_from_coded(Pixel { x_px, y_px });
    let mode = MarkerMode::Sticker;
    let marker = FollowMarker { landmark: LANDMARK, mode, keyframes: vec![(0, at)] };
    let times_s: Vec<f64> = (0..FRAMES).map(|f| f64::from(f) / 60.0).collect();
    tryout_plan(marker, &times_s).unwrap()
}

fn followed(open_ratio: f64) -> Vec<Option<TrackSample>> {
    let mut run = FollowRun::new(plan(), picture(), FRAMES).unwrap();
    while let Some(frame) = run.wanted() {
        let bytes = draw(frame, open_ratio);
        run.take(GreyFrame::new(WIDTH, HEIGHT, WIDTH, &bytes).unwrap()).unwrap();
    }
    let (first, mut stretches) = run.finish();
    assert_eq!(first, 0);
    stretches.remove(&LANDMARK).unwrap()
}

fn tried(open_ratio: f64, mode: MarkerMode, samples: &[Option<TrackSample>]) -> Tryout {
    let mut run = TryoutRun::new((LANDMARK, mode), &picture(), (0, samples));
    let mut asked = 0;
    while let Some(frame) = run.wanted() {
        let bytes = draw(frame, open_ratio);
        run.take(GreyFrame::new(WIDTH, HEIGHT, WIDTH, &bytes).unwrap());
        asked += 1;
        assert!(asked <= 10, "it asks for ever more frames");
    }
    run.finish()
}

#[test]
fn the_blur_told_is_the_way_that_the_sticker_went_while_the_shutter_was_open() {
    for (open_ratio, blurred_px) in [(0.125, 2.0), (0.3, 4.8), (0.6, 9.6)] {
        let told = tried(open_ratio, MarkerMode::Sticker, &followed(open_ratio));
        let blur = told.blur.unwrap();
        println!("{blurred_px} px: told {:.2}, {} of {}", blur.length_px, told.unsure, told.frames);
        assert_eq!((told.landmark, told.frames), (LANDMARK, FRAMES));
        assert!((blur.length_px - blurred_px).abs() < 1.0, "{blurred_px}: {blur:?}");
        assert!(!blur.may_be_more && told.unsure < 5, "{told:?}");
    }
}

#[test]
fn of_skin_and_of_what_was_lost_no_blur_is_told() {
    let samples = followed(0.125);
    let skin = tried(0.125, MarkerMode::Skin, &samples);
    assert_eq!((skin.blur, skin.frames), (None, FRAMES));
    let lost = tried(0.125, MarkerMode::Sticker, &[samples[0], None, None, None]);
    assert_eq!((lost.blur, lost.unsure, lost.frames), (None, 3, 4));
    assert_eq!(tried(0.125, MarkerMode::Sticker, &[]).frames, 0);
    // What hardly moves cannot be blurred over more than it moves.
    let slow = (0..48).map(|k| {
        samples.first().copied().flatten().map(|s| {
            let at = Pixel { x_px: s.at.x_px + 1.5 * f64::from(k), ..s.at };
            TrackSample { at, ..s }
        })
    });
    let slow = tried(0.125, MarkerMode::Sticker, &slow.collect::<Vec<_>>()).blur.unwrap();
    assert!((slow.length_px - 1.5).abs() < 1e-9 && !slow.may_be_more, "{slow:?}");
    // Seen at first only: when it moves fastest is not known.
    let mut gone = samples;
    gone[20..].fill(None);
    let gone = tried(0.125, MarkerMode::Sticker, &gone);
    assert_eq!((gone.blur, gone.unsure), (None, 28));
}

#[test]
fn it_is_tried_over_the_longer_side_of_the_mark_and_not_at_all_without_frames() {
    let marker = |frame| FollowMarker {
        landmark: LANDMARK,
        mode: MarkerMode::Sticker,
        keyframes: vec![
            (frame, Pixel { x_px: 9.0, y_px: 9.0 }),
            (frame + 1, Pixel { x_px: 1.0, y_px: 1.0 }),
        ],
    };
    let times_s: Vec<f64> = (0..200).map(|f| f64::from(f) / 60.0).collect();
    let span = |frame| tryout_plan(marker(frame), &times_s).map(|p| (p.first, p.last));
    // 0.8 s are 48 frames.
    assert_eq!((span(0), span(100)), (Some((0, 48)), Some((100, 148))));
    assert_eq!((span(190), span(199), span(200)), (Some((142, 190)), Some((151, 199)), None));
    assert_eq!(tryout_plan(marker(100), &times_s).unwrap().markers[0].keyframes.len(), 1);
    assert_eq!(tryout_plan(marker(0), &[0.0]), None);
}
