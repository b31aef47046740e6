//! A following over drawn frames: its passes, both directions of time, turned pictures and giving up.

#![allow(clippy::unwrap_used, reason = "tests: a failure is the answer")]

mod common;

use document::session::{Certainty, MarkerMode, TrackSample};
use jobs::{Correction, FollowMarker, FollowPlan, FollowRun};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use media::{Orientation, Picture};
use tracking::image::GreyFrame;

const WIDTH: usize = 320;
const HEIGHT: usize = 240;
const FRAMES: u32 = 40;

/// Where the sticker of a landmark is in the coded picture.
fn truth(landmark: Landmark, frame: u32) -> (f64, f64) {
    let t = f64::from(frame);
    match landmark {
        Landmark::NearHip => (100.0 + 2.0 * t, 80.0 + 10.0 * (t / 6.0).sin()),
        _ => (110.0 + 2.0 * t, 140.0 + 6.0 * (t / 5.0).cos()),
    }
}

/// A frame: uneven ground and a bright disc with a dark ring for each sticker, softly edged.
fn draw(frame: u32) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(WIDTH * HEIGHT);
    for y in 0..HEIGHT {
        for x in 0..WIDTH {
            let (x, y) = (x as f64, y as f64);
            let mut level = 110.0 + 14.0 * (x / 11.0).sin() + 14.0 * (y / 7.0 + x / 31.0).cos();
            for landmark in [Landmark::NearHip, Landmark::NearKnee] {
                let (at_x, at_y) = truth(landmark, frame);
                let away = (x - at_x).hypot(y - at_y);
                let inside = |radius: f64| (radius + 0.5 - away).clamp(0.0, 1.0);
                level += (20.0 - level) * inside(8.0);
                level += (235.0 - level) * inside(4.5);
            }
            bytes.push(level as u8);
        }
    }
    bytes
}

fn picture(orientation: Orientation) -> Picture {
    common::picture((WIDTH as u32, HEIGHT as u32), orientation)
}

fn place(picture: &Picture, landmark: Landmark, frame: u32) -> Pixel {
    let (x_px, y_px) = truth(landmark, frame);
    picture.upright_from_coded(Pixel { x_px, y_px })
}

fn marker(picture: &Picture, landmark: Landmark, keyframes: &[u32]) -> FollowMarker {
    let keyframes = keyframes.iter().map(|f| (*f, place(picture, landmark, *f))).collect();
    FollowMarker { landmark, mode: MarkerMode::Sticker, keyframes }
}

fn run_of(picture: Picture, markers: Vec<FollowMarker>) -> FollowRun {
    FollowRun::new(
        FollowPlan { first: 0, last: FRAMES - 1, markers, correction: None },
        picture,
        FRAMES,
    )
    .unwrap()
}

/// Takes at most so many frames; answers those that were wanted.
fn drive(run: &mut FollowRun, most: usize) -> Vec<u32> {
    let mut wanted = Vec::new();
    while let (true, Some(frame)) = (wanted.len() < most, run.wanted()) {
        let bytes = draw(frame);
        run.take(GreyFrame::new(WIDTH, HEIGHT, WIDTH, &bytes).unwrap()).unwrap();
        wanted.push(frame);
    }
    wanted
}

fn check(picture: &Picture, landmark: Landmark, stretch: &[Option<TrackSample>]) {
    assert_eq!(stretch.len(), FRAMES as usize);
    for (frame, sample) in (0..).zip(stretch) {
        let (sample, at) = (sample.unwrap(), place(picture, landmark, frame));
        let away_px = (sample.at.x_px - at.x_px).hypot(sample.at.y_px - at.y_px);
        // A drawn sticker without noise: the tracker's own target is 0.15 px in the median.
        assert!(away_px < 0.3, "{landmark:?} in frame {frame} is {away_px} px off");
    }
}

#[test]
fn from_a_keyframe_in_the_middle_both_ends_are_reached() {
    let picture = picture(Orientation::default());
    let markers = [Landmark::NearHip, Landmark::NearKnee].map(|l| marker(&picture, l, &[15]));
    let mut run = run_of(picture, markers.to_vec());
    let wanted = drive(&mut run, usize::MAX);
    let forward: Vec<u32> = (15..FRAMES).collect();
    let backward: Vec<u32> = (0..=15).rev().collect();
    assert_eq!(wanted, [backward, forward].concat(), "each way once for both markers");
    let (first, found) = run.finish();
    assert_eq!(first, 0);
    for (landmark, stretch) in found {
        check(&picture, landmark, &stretch);
        assert_eq!(stretch[15].unwrap().certainty, Certainty::Placed);
    }
}

#[test]
fn between_two_keyframes_both_ways_are_blended_and_the_keyframes_stay() {
    let picture = picture(Orientation::default());
    let mut run = run_of(picture, vec![marker(&picture, Landmark::NearHip, &[0, FRAMES - 1])]);
    let wanted = drive(&mut run, usize::MAX);
    assert_eq!(wanted.len(), 2 * FRAMES as usize);
    let (_, found) = run.finish();
    let stretch = &found[&Landmark::NearHip];
    check(&picture, Landmark::NearHip, stretch);
    for end in [stretch.first(), stretch.last()] {
        assert_eq!(end.unwrap().unwrap().certainty, Certainty::Placed);
    }
}

#[test]
fn a_turned_clip_is_followed_in_upright_pixels() {
    for quarter_turns in 1..4 {
        let picture = picture(Orientation { quarter_turns, mirrored: quarter_turns == 3 });
        let mut run = run_of(picture, vec![marker(&picture, Landmark::NearKnee, &[0])]);
        drive(&mut run, usize::MAX);
        check(&picture, Landmark::NearKnee, &run.finish().1[&Landmark::NearKnee]);
    }
}

#[test]
fn after_giving_up_only_what_was_reached_is_told() {
    let picture = picture(Orientation::default());
    let mut run = run_of(picture, vec![marker(&picture, Landmark::NearHip, &[0])]);
    drive(&mut run, 12);
    assert_eq!(run.progress(), (12, FRAMES));
    assert!(run.latest().contains_key(&Landmark::NearHip));
    let (first, found) = run.finish();
    assert_eq!((first, found[&Landmark::NearHip].len()), (0, 12));

    let mut back = run_of(picture, vec![marker(&picture, Landmark::NearHip, &[30])]);
    drive(&mut back, 5);
    let (first, found) = back.finish();
    assert_eq!((first, found[&Landmark::NearHip].len()), (26, 5));

    let nothing = run_of(picture, vec![marker(&picture, Landmark::NearHip, &[0])]);
    assert!(nothing.finish().1.is_empty());
}

#[test]
fn between_neighbouring_keyframes_there_is_nothing_to_do() {
    let picture = picture(Orientation::default());
    let markers = vec![marker(&picture, Landmark::NearHip, &[4, 5, 6])];
    let run = FollowRun::new(
        FollowPlan { first: 4, last: 6, markers, correction: None },
        picture,
        FRAMES,
    )
    .unwrap();
    assert_eq!((run.wanted(), run.progress()), (None, (0, 0)));
    assert!(run.finish().1.is_empty());
}

#[test]
fn a_marker_that_leaves_the_picture_becomes_none_and_no_number() {
    let picture = picture(Orientation::default());
    let mut run = run_of(picture, vec![marker(&picture, Landmark::NearHip, &[0])]);
    // The sticker is there in the first frame only; after it the ground is bare.
    drive(&mut run, 1);
    let bare = vec![110_u8; WIDTH * HEIGHT];
    while run.wanted().is_some() {
        run.take(GreyFrame::new(WIDTH, HEIGHT, WIDTH, &bare).unwrap()).unwrap();
    }
    let (_, found) = run.finish();
    assert!(found[&Landmark::NearHip].last().unwrap().is_none());
}

#[test]
fn plans_that_cannot_be_followed_are_refused_with_a_sentence() {
    let picture = picture(Orientation::default());
    let plan = |first, last, markers| FollowPlan { first, last, markers, correction: None };
    let refused = |plan| FollowRun::new(plan, picture, FRAMES).err().unwrap();
    assert!(refused(plan(0, FRAMES, vec![])).contains("choose frames"));
    assert!(refused(plan(9, 3, vec![])).contains("choose frames"));
    assert!(refused(plan(0, 9, vec![])).contains("place a marker"));
    let outside = FollowMarker {
        landmark: Landmark::Head,
        mode: MarkerMode::Sticker,
        keyframes: vec![(0, Pixel { x_px: 5000.0, y_px: 1.0 })],
    };
    let mut run = FollowRun::new(plan(0, 9, vec![outside]), picture, FRAMES).unwrap();
    let bytes = draw(0);
    assert!(run.take(GreyFrame::new(WIDTH, HEIGHT, WIDTH, &bytes).unwrap()).is_err());
}

/// What a following of the whole clip from its first frame found of the hip.
fn followed_hip(picture: &Picture) -> Vec<Option<TrackSample>> {
    let mut run = run_of(*picture, vec![marker(picture, Landmark::NearHip, &[0])]);
    drive(&mut run, usize::MAX);
    run.finish().1.remove(&Landmark::NearHip).unwrap()
}

/// Puts the hip right in a frame; answers the frames that were wanted, the first one reached and what was found.
fn put_right(
    picture: &Picture,
    (keyframes, frame): (&[u32], u32),
    known: Vec<Option<TrackSample>>,
) -> (Vec<u32>, u32, Vec<Option<TrackSample>>) {
    let plan = FollowPlan {
        first: 0,
        last: FRAMES - 1,
        markers: vec![marker(picture, Landmark::NearHip, keyframes)],
        correction: Some(Correction { frame, known }),
    };
    let mut run = FollowRun::new(plan, *picture, FRAMES).unwrap();
    let wanted = drive(&mut run, usize::MAX);
    let (done, to_do) = run.progress();
    assert_eq!((done, to_do as usize), (to_do, wanted.len()));
    let (first, mut found) = run.finish();
    (wanted, first, found.remove(&Landmark::NearHip).unwrap())
}

#[test]
fn a_correction_ends_where_it_meets_what_was_known() {
    for quarter_turns in 0..2 {
        let picture = picture(Orientation { quarter_turns, mirrored: false });
        let mut known = followed_hip(&picture);
        let whole = known.clone();
        // In three frames the marker was taken for something else.
        for sample in known[18..21].iter_mut().flatten() {
            sample.at.y_px += 30.0;
        }
        let (wanted, first, found) = put_right(&picture, (&[0, 19], 19), known);
        let backward: Vec<u32> = (6..=19).rev().collect();
        let forward: Vec<u32> = (19..=32).collect();
        assert_eq!(
            wanted,
            [backward, forward].concat(),
            "twelve frames beyond those that were off"
        );
        assert_eq!((first, found.len()), (6, 27));
        assert_eq!(
            (found[0].unwrap().at, found[26].unwrap().at),
            (whole[6].unwrap().at, whole[32].unwrap().at)
        );
        for (frame, sample) in (6..).zip(&found) {
            let was = whole[frame as usize].unwrap().at;
            let now = sample.unwrap().at;
            let away_px = (now.x_px - was.x_px).hypot(now.y_px - was.y_px);
            assert!(away_px < 0.3, "frame {frame} is {away_px} px from where it was");
        }
    }
}

#[test]
fn a_correction_that_meets_nothing_is_followed_from_both_sides_to_the_ends() {
    let picture = picture(Orientation::default());
    let mut off = followed_hip(&picture);
    off.iter_mut().flatten().for_each(|s| s.at.x_px += 2.0);
    let (wanted, first, found) = put_right(&picture, (&[0, 19], 19), off);
    let mut expected: Vec<u32> = (0..=19).rev().collect();
    expected.extend(19..FRAMES);
    expected.extend(0..=19);
    assert_eq!(wanted, expected);
    assert_eq!(first, 0);
    check(&picture, Landmark::NearHip, &found);
    let gone = vec![None; FRAMES as usize];
    assert_eq!(put_right(&picture, (&[0, 19], 19), gone).0, expected);
}

#[test]
fn colour_is_asked_for_where_a_sticker_is_placed_and_no_longer_where_grey_shows_it() {
    let picture = picture(Orientation::default());
    let mut run = run_of(picture, vec![marker(&picture, Landmark::NearHip, &[0])]);
    assert!(run.needs_colour());
    drive(&mut run, 2);
    assert!(!run.needs_colour());
    let skin = FollowMarker { mode: MarkerMode::Skin, ..marker(&picture, Landmark::NearHip, &[0]) };
    assert!(!run_of(picture, vec![skin]).needs_colour());
}
