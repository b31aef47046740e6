//! A tracking run over drawn frames: passes, both directions of time, rotated pictures and cancelling.

#![allow(clippy::unwrap_used, reason = "tests: a failure is the answer")]

mod common;

use document::session::{Certainty, MarkerMode, TrackSample};
use jobs::protocol::JobError;
use jobs::{Correction, TrackedMarker, TrackingPlan, TrackingRun};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use media::{Orientation, Picture};
use tracking::image::GreyFrame;

const WIDTH: usize = 320;
const HEIGHT: usize = 240;
const FRAMES: u32 = 40;

/// The place of a landmark's sticker in the coded picture.
fn truth(landmark: Landmark, frame: u32) -> (f64, f64) {
    let t = f64::from(frame);
    match landmark {
        Landmark::NearHip => (100.0 + 2.0 * t, 80.0 + 10.0 * (t / 6.0).sin()),
        _ => (110.0 + 2.0 * t, 140.0 + 6.0 * (t / 5.0).cos()),
    }
}

/// A frame: an uneven background, and for each sticker a bright disc in a dark ring with soft edges.
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

fn marker(picture: &Picture, landmark: Landmark, keyframes: &[u32]) -> TrackedMarker {
    let keyframes = keyframes.iter().map(|f| (*f, place(picture, landmark, *f))).collect();
    TrackedMarker { landmark, mode: MarkerMode::Sticker, keyframes }
}

fn run_of(picture: Picture, markers: Vec<TrackedMarker>) -> TrackingRun {
    TrackingRun::new(
        TrackingPlan { first: 0, last: FRAMES - 1, markers, correction: None },
        picture,
        FRAMES,
    )
    .unwrap()
}

/// Takes at most this many frames; returns the frames that were wanted.
fn drive(run: &mut TrackingRun, most: usize) -> Vec<u32> {
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
    assert_eq!(wanted, [backward, forward].concat(), "each direction once for both markers");
    let tracks = run.finish();
    assert_eq!(tracks.first, 0);
    for (landmark, stretch) in tracks.samples {
        check(&picture, landmark, &stretch);
        assert_eq!(stretch[15].unwrap().certainty, Certainty::Placed);
    }
}

#[test]
fn between_two_keyframes_both_directions_are_blended_and_the_keyframes_stay() {
    let picture = picture(Orientation::default());
    let mut run = run_of(picture, vec![marker(&picture, Landmark::NearHip, &[0, FRAMES - 1])]);
    let wanted = drive(&mut run, usize::MAX);
    assert_eq!(wanted.len(), 2 * FRAMES as usize);
    let tracks = run.finish();
    let stretch = &tracks.samples[&Landmark::NearHip];
    check(&picture, Landmark::NearHip, stretch);
    for end in [stretch.first(), stretch.last()] {
        assert_eq!(end.unwrap().unwrap().certainty, Certainty::Placed);
    }
}

#[test]
fn a_rotated_clip_is_tracked_in_upright_pixels() {
    for quarter_turns in 1..4 {
        let picture = picture(Orientation { quarter_turns, mirrored: quarter_turns == 3 });
        let mut run = run_of(picture, vec![marker(&picture, Landmark::NearKnee, &[0])]);
        drive(&mut run, usize::MAX);
        check(&picture, Landmark::NearKnee, &run.finish().samples[&Landmark::NearKnee]);
    }
}

#[test]
fn a_cancelled_run_gives_the_frames_that_it_reached() {
    let picture = picture(Orientation::default());
    let mut run = run_of(picture, vec![marker(&picture, Landmark::NearHip, &[0])]);
    drive(&mut run, 12);
    assert_eq!(run.progress(), (12, FRAMES));
    assert!(run.latest().contains_key(&Landmark::NearHip));
    let tracks = run.finish();
    assert_eq!((tracks.first, tracks.samples[&Landmark::NearHip].len()), (0, 12));

    let mut back = run_of(picture, vec![marker(&picture, Landmark::NearHip, &[30])]);
    drive(&mut back, 5);
    let tracks = back.finish();
    assert_eq!((tracks.first, tracks.samples[&Landmark::NearHip].len()), (26, 5));

    let nothing = run_of(picture, vec![marker(&picture, Landmark::NearHip, &[0])]);
    assert!(nothing.finish().samples.is_empty());
}

#[test]
fn neighbouring_keyframes_have_no_pass_between_them() {
    let picture = picture(Orientation::default());
    let markers = vec![marker(&picture, Landmark::NearHip, &[4, 5, 6])];
    let run = TrackingRun::new(
        TrackingPlan { first: 4, last: 6, markers, correction: None },
        picture,
        FRAMES,
    )
    .unwrap();
    assert_eq!((run.wanted(), run.progress()), (None, (0, 0)));
    assert!(run.finish().samples.is_empty());
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
    let tracks = run.finish();
    assert!(tracks.samples[&Landmark::NearHip].last().unwrap().is_none());
}

#[test]
fn plans_that_cannot_be_tracked_are_refused_by_name() {
    let picture = picture(Orientation::default());
    let plan = |first, last, markers| TrackingPlan { first, last, markers, correction: None };
    let refused = |plan| TrackingRun::new(plan, picture, FRAMES).err().unwrap();
    let outside = |first, last| JobError::FramesOutside { first, last, frame_count: FRAMES };
    assert_eq!(refused(plan(0, FRAMES, vec![])), outside(0, FRAMES));
    assert_eq!(refused(plan(9, 3, vec![])), outside(9, 3));
    assert_eq!(refused(plan(0, 9, vec![])), JobError::NothingToTrack);
    let outside = TrackedMarker {
        landmark: Landmark::Head,
        mode: MarkerMode::Sticker,
        keyframes: vec![(0, Pixel { x_px: 5000.0, y_px: 1.0 })],
    };
    let mut run = TrackingRun::new(plan(0, 9, vec![outside]), picture, FRAMES).unwrap();
    let bytes = draw(0);
    let taken = run.take(GreyFrame::new(WIDTH, HEIGHT, WIDTH, &bytes).unwrap());
    assert_eq!(taken, Err(JobError::MarkOutside { landmark: Landmark::Head }));
}

/// The track of the hip over the whole clip from a mark in the first frame.
fn hip_track(picture: &Picture) -> Vec<Option<TrackSample>> {
    let mut run = run_of(*picture, vec![marker(picture, Landmark::NearHip, &[0])]);
    drive(&mut run, usize::MAX);
    run.finish().samples.remove(&Landmark::NearHip).unwrap()
}

/// Corrects the hip in a frame; returns the wanted frames, the first frame reached and the new track.
fn corrected(
    picture: &Picture,
    (keyframes, frame): (&[u32], u32),
    old_track: Vec<Option<TrackSample>>,
) -> (Vec<u32>, u32, Vec<Option<TrackSample>>) {
    let plan = TrackingPlan {
        first: 0,
        last: FRAMES - 1,
        markers: vec![marker(picture, Landmark::NearHip, keyframes)],
        correction: Some(Correction { frame, old_track }),
    };
    let mut run = TrackingRun::new(plan, *picture, FRAMES).unwrap();
    let wanted = drive(&mut run, usize::MAX);
    let (done, to_do) = run.progress();
    assert_eq!((done, to_do as usize), (to_do, wanted.len()));
    let mut tracks = run.finish();
    (wanted, tracks.first, tracks.samples.remove(&Landmark::NearHip).unwrap())
}

#[test]
fn a_correction_ends_where_it_rejoins_the_old_track() {
    for quarter_turns in 0..2 {
        let picture = picture(Orientation { quarter_turns, mirrored: false });
        let mut known = hip_track(&picture);
        let whole = known.clone();
        // In three frames the tracker took something else for the marker.
        for sample in known[18..21].iter_mut().flatten() {
            sample.at.y_px += 30.0;
        }
        let (wanted, first, found) = corrected(&picture, (&[0, 19], 19), known);
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
fn a_correction_that_never_rejoins_is_tracked_from_both_sides_to_the_ends() {
    let picture = picture(Orientation::default());
    let mut off = hip_track(&picture);
    off.iter_mut().flatten().for_each(|s| s.at.x_px += 2.0);
    let (wanted, first, found) = corrected(&picture, (&[0, 19], 19), off);
    let mut expected: Vec<u32> = (0..=19).rev().collect();
    expected.extend(19..FRAMES);
    expected.extend(0..=19);
    assert_eq!(wanted, expected);
    assert_eq!(first, 0);
    check(&picture, Landmark::NearHip, &found);
    let gone = vec![None; FRAMES as usize];
    assert_eq!(corrected(&picture, (&[0, 19], 19), gone).0, expected);
}

#[test]
fn chroma_is_needed_where_a_sticker_begins_and_no_longer_once_grey_shows_it() {
    let picture = picture(Orientation::default());
    let mut run = run_of(picture, vec![marker(&picture, Landmark::NearHip, &[0])]);
    assert!(run.needs_chroma());
    drive(&mut run, 2);
    assert!(!run.needs_chroma());
    let skin =
        TrackedMarker { mode: MarkerMode::Skin, ..marker(&picture, Landmark::NearHip, &[0]) };
    assert!(!run_of(picture, vec![skin]).needs_chroma());
}
