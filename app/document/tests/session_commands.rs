//! Laws of commands and of undo, over random scripts of commands.

#![allow(clippy::unwrap_used, reason = "tests: a failure is the answer")]

mod common;

use common::{Dice, session};
use document::session::{
    CameraPath, CameraPose, Certainty, Command, Error, History, MarkerMode, Session, TrackSample,
    TrialCommand, TrialId, apply, file,
};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use std::rc::Rc;

const SCRIPTS: u64 = 60;
const HIP: Landmark = Landmark::NearHip;

fn place(frame: u32, x_px: f64) -> Command {
    let at = Pixel { x_px, y_px: 20.0 };
    let mark = TrialCommand::PlaceMark { landmark: HIP, frame, at, mode: MarkerMode::Sticker };
    Command::ForTrial(TrialId(1), mark)
}

fn follow(first: u32, samples: Vec<Option<TrackSample>>) -> Command {
    let stretches = [(HIP, samples)].into();
    Command::ForTrial(
        TrialId(1),
        TrialCommand::KeepFollowed { first, stretches, camera: None, repeated: None },
    )
}

fn seen(x_px: f64) -> Option<TrackSample> {
    Some(TrackSample::new(Pixel { x_px, y_px: 20.0 }, Certainty::Seen, 0.01))
}

/// A session whose first trial has six frames.
fn six_frames() -> Session {
    let mut clip = Dice::new(1).clip();
    let info = Rc::make_mut(&mut clip.info);
    info.stamps_s = (0..6).map(|i| f64::from(i) / 120.0).collect();
    let add = Command::AddTrial { id: TrialId(1), name: "easy".into(), clip };
    apply(&Session::empty("s".into()), &add).unwrap()
}

fn run(session: Session, commands: &[Command]) -> Session {
    commands.iter().fold(session, |s, c| apply(&s, c).unwrap())
}

fn hip(session: &Session) -> Vec<Option<(f64, Certainty)>> {
    let track = &session.trial(TrialId(1)).unwrap().tracks[&HIP];
    track.samples.iter().map(|s| s.map(|s| (s.at.x_px, s.certainty))).collect()
}

#[test]
fn undo_and_redo_reach_every_state_in_order() {
    for seed in 0..SCRIPTS {
        let mut dice = Dice::new(seed);
        let mut history = History::new(session(seed, 0));
        let mut seen = vec![history.present().clone()];
        for _ in 0..80 {
            if let Ok(next) = apply(history.present(), &dice.command()) {
                history = history.push(next);
                seen.push(history.present().clone());
            }
        }
        for before in seen.iter().rev().skip(1) {
            history = history.undo();
            assert_eq!(history.present(), before, "seed {seed}");
        }
        assert!(!history.can_undo());
        for after in seen.iter().skip(1) {
            history = history.redo();
            assert_eq!(history.present(), after, "seed {seed}");
        }
        assert!(!history.can_redo());
    }
}

#[test]
fn a_new_command_forgets_undone_steps_and_nothing_else() {
    let start = six_frames();
    let history = History::new(start.clone()).push(run(start.clone(), &[place(0, 1.0)]));
    let other = run(start.clone(), &[place(0, 2.0)]);
    let history = history.undo().push(other.clone());
    assert!(!history.can_redo());
    assert_eq!(**history.redo().present(), other);
}

#[test]
fn undo_at_the_beginning_and_redo_at_the_end_change_nothing() {
    let history = History::new(six_frames());
    assert_eq!(history.clone().undo(), history);
    assert_eq!(history.clone().redo(), history);
}

#[test]
fn a_hundred_steps_can_be_undone_and_no_more() {
    let mut history = History::new(six_frames());
    for i in 0..150 {
        let next = apply(history.present(), &Command::SetNotes(format!("{i}"))).unwrap();
        history = history.push(next);
    }
    let mut steps = 0;
    while history.can_undo() {
        history = history.undo();
        steps += 1;
    }
    assert_eq!((steps, history.present().notes.as_str()), (History::DEPTH, "49"));
}

#[test]
fn a_command_leaves_the_session_it_was_given_unchanged() {
    for seed in 0..SCRIPTS {
        let before = session(seed, 30);
        let text = file::write(&before);
        let mut dice = Dice::new(seed + 1000);
        for _ in 0..40 {
            let _ = apply(&before, &dice.command());
        }
        assert_eq!(file::write(&before), text, "seed {seed}");
    }
}

#[test]
fn a_trial_or_frame_that_does_not_exist_is_refused() {
    let session = six_frames();
    let no_frame = Error::NoFrame { frame: 6, frame_count: 6 };
    assert_eq!(apply(&session, &place(6, 1.0)), Err(no_frame.clone()));
    assert_eq!(apply(&session, &follow(6, vec![seen(1.0)])), Err(no_frame));
    let nobody = Command::ForTrial(TrialId(7), TrialCommand::ForgetEventEdits);
    assert_eq!(apply(&session, &nobody), Err(Error::NoTrial));
    assert_eq!(apply(&session, &Command::RemoveTrial(TrialId(7))), Err(Error::NoTrial));
    let clip = Dice::new(1).clip();
    let again = Command::AddTrial { id: TrialId(1), name: String::new(), clip };
    assert_eq!(apply(&session, &again), Err(Error::TrialTaken));
}

#[test]
fn a_number_that_is_not_usable_is_refused() {
    let session = six_frames();
    for bad in [f64::NAN, f64::INFINITY, -1e300] {
        assert!(matches!(apply(&session, &place(0, bad)), Err(Error::Invalid(_))));
        let mut runner = session.runner.clone();
        runner.mass_kg = Some(bad);
        let set = Command::SetRunner(runner);
        assert!(matches!(apply(&session, &set), Err(Error::Invalid(_))));
    }
}

#[test]
fn a_clip_without_frames_or_with_times_that_do_not_increase_is_refused() {
    for stamps_s in [vec![], vec![0.0, 0.1, 0.1]] {
        let mut clip = Dice::new(3).clip();
        Rc::make_mut(&mut clip.info).stamps_s = stamps_s;
        let add = Command::AddTrial { id: TrialId(2), name: String::new(), clip };
        let refused = apply(&six_frames(), &add);
        assert!(matches!(refused, Err(Error::Invalid(_))), "{refused:?}");
    }
}

#[test]
fn a_tracking_run_never_moves_a_marker_that_a_person_placed() {
    for seed in 0..SCRIPTS {
        let mut dice = Dice::new(seed);
        let mut session = session(seed, 40);
        for _ in 0..60 {
            let change = dice.trial_command();
            let follows = matches!(change, TrialCommand::KeepFollowed { .. });
            let before = session.clone();
            let Ok(after) = apply(&session, &Command::ForTrial(TrialId(1), change)) else {
                continue;
            };
            session = after;
            if !follows {
                continue;
            }
            let trials = |s: &Session| s.trial(TrialId(1)).unwrap().clone();
            for (landmark, track) in &trials(&before).tracks {
                let now = &trials(&session).tracks[landmark];
                assert_eq!(now.keyframes, track.keyframes);
                for (frame, at) in &track.keyframes {
                    assert_eq!(now.sample(*frame), Some(TrackSample::placed(*at)), "seed {seed}");
                }
            }
        }
    }
}

#[test]
fn a_tracked_stretch_fills_the_frames_around_the_placed_markers() {
    let stretch = vec![seen(11.0), seen(12.0), None, seen(14.0), seen(15.0), seen(16.0)];
    let session = run(six_frames(), &[place(0, 1.0), place(3, 4.0), follow(1, stretch)]);
    let (placed, seen) = (Certainty::Placed, Certainty::Seen);
    let expected = [
        Some((1.0, placed)),
        Some((11.0, seen)),
        Some((12.0, seen)),
        Some((4.0, placed)),
        Some((14.0, seen)),
        Some((15.0, seen)),
    ];
    assert_eq!(hip(&session), expected);
}

#[test]
fn an_impossible_position_becomes_a_gap() {
    let wrong = TrackSample { p_wrong: f64::NAN, ..seen(1.0).unwrap() };
    let session = run(six_frames(), &[place(0, 1.0), follow(1, vec![Some(wrong), seen(2.0)])]);
    assert_eq!(hip(&session)[1..3], [None, Some((2.0, Certainty::Seen))]);
}

#[test]
fn tracking_a_landmark_that_was_removed_meanwhile_does_not_restore_it() {
    let forget = Command::ForTrial(TrialId(1), TrialCommand::ForgetLandmark(HIP));
    let session = run(six_frames(), &[place(0, 1.0), forget, follow(1, vec![seen(1.0)])]);
    assert!(session.trials[0].tracks.is_empty());
}

#[test]
fn removing_a_placed_marker_leaves_a_gap_and_removing_a_tracked_one_changes_nothing() {
    let forget =
        |frame| Command::ForTrial(TrialId(1), TrialCommand::ForgetMark { landmark: HIP, frame });
    let session = run(six_frames(), &[place(0, 1.0), follow(1, vec![seen(2.0)])]);
    assert_eq!(hip(&run(session.clone(), &[forget(0)]))[0], None);
    assert_eq!(run(session.clone(), &[forget(1)]), session);
}

#[test]
fn no_two_trials_have_the_same_identifier_even_after_the_highest() {
    let mut session = six_frames();
    Rc::make_mut(&mut session.trials[0]).id = TrialId(u32::MAX);
    let add = |s: &Session| {
        let clip = Dice::new(5).clip();
        let id = s.next_trial_id();
        apply(s, &Command::AddTrial { id, name: String::new(), clip }).unwrap()
    };
    let session = add(&add(&session));
    let ids: Vec<u32> = session.trials.iter().map(|t| t.id.0).collect();
    assert_eq!(ids, [u32::MAX, 1, 2]);
}

#[test]
fn a_second_trial_takes_over_calibration_and_conditions_but_not_the_cue() {
    let mut dice = Dice::new(8);
    let mut session = six_frames();
    loop {
        let change = dice.trial_command();
        let set = matches!(change, TrialCommand::SetConditions(_) | TrialCommand::Calibrate(_));
        if set {
            session = run(session, &[Command::ForTrial(TrialId(1), change)]);
        }
        let trial = &session.trials[0];
        if trial.calibration.scale.is_some() && !trial.conditions.shoes.is_empty() {
            break;
        }
    }
    let first = session.trials[0].clone();
    let add = Command::AddTrial { id: TrialId(2), name: "folded".into(), clip: first.clip.clone() };
    let second = run(session, &[add]).trials[1].clone();
    assert_eq!(second.calibration.scale, first.calibration.scale);
    assert_eq!(second.calibration.filmed_rate_hz, None);
    assert_eq!(second.conditions.shoes, first.conditions.shoes);
    assert_eq!(second.conditions.cue, "");
    assert!(second.tracks.is_empty());
}

#[test]
fn a_tracking_run_that_saw_nothing_is_recorded_and_undone() {
    let placed = run(six_frames(), &[place(2, 10.0)]);
    let track = |session: &Session| Rc::clone(&session.trial(TrialId(1)).unwrap().tracks[&HIP]);
    assert_eq!(track(&placed).followed, None);
    let lost = run(placed.clone(), &[follow(2, vec![None; 3])]);
    assert_eq!(track(&lost).followed, Some((2, 4)));
    let further = run(lost.clone(), &[follow(0, vec![seen(9.0)]), follow(5, vec![None; 9])]);
    assert_eq!(track(&further).followed, Some((0, 5)), "no further than the clip");
    let written = file::read("a", &file::write(&lost)).unwrap().session;
    assert_eq!(written, lost);
    let history = History::new(placed.clone()).push(lost);
    assert_eq!(**history.undo().present(), placed);
}

#[test]
fn camera_motion_is_stored_and_refused_if_impossible() {
    let placed = run(six_frames(), &[place(0, 10.0)]);
    let keep = |camera: CameraPath| {
        let keep = TrialCommand::KeepFollowed {
            first: 0,
            stretches: [(HIP, vec![seen(10.0); 6])].into(),
            camera: Some(Rc::new(camera)),
            repeated: None,
        };
        apply(&placed, &Command::ForTrial(TrialId(1), keep))
    };
    let mut dice = Dice::new(7);
    let poses: Vec<CameraPose> = (0..6)
        .map(|_| {
            let at = dice.pixel();
            CameraPose::new(1.0 + at.x_px / 1e5, at.y_px / 1e5, at.x_px, at.y_px)
        })
        .collect();
    let path = CameraPath { poses, residual_px: 0.25 };
    let kept = keep(path.clone()).unwrap();
    assert_eq!(kept.trials[0].camera.as_deref(), Some(&path));
    assert_eq!(file::read("a", &file::write(&kept)).unwrap().session, kept);
    let again = run(kept.clone(), &[follow(0, vec![seen(11.0); 6])]);
    assert_eq!(again.trials[0].camera, kept.trials[0].camera, "the stored path stays");
    let mut short = path.clone();
    short.poses.pop();
    let mut flat = path.clone();
    flat.poses[3] = CameraPose::new(0.0, 0.0, 1.0, 1.0);
    let mut wild = path;
    wild.residual_px = f64::NAN;
    for bad in [short, flat, wild] {
        assert!(matches!(keep(bad), Err(Error::Invalid(_))));
    }
    let added =
        Command::AddTrial { id: TrialId(2), name: "b".into(), clip: kept.trials[0].clip.clone() };
    assert_eq!(
        run(kept, &[added]).trials[1].calibration.scale,
        None,
        "a camera that moved stands elsewhere in another clip"
    );
}

#[test]
fn repeated_frames_are_stored_and_refused_if_impossible() {
    let placed = run(six_frames(), &[place(0, 10.0)]);
    let keep = |repeated: Option<Vec<u32>>| {
        let stretches = [(HIP, vec![seen(10.0); 6])].into();
        let keep = TrialCommand::KeepFollowed { first: 0, stretches, camera: None, repeated };
        Command::ForTrial(TrialId(1), keep)
    };
    let kept = apply(&placed, &keep(Some(vec![2, 5]))).unwrap();
    assert_eq!(kept.trials[0].repeated, [2, 5]);
    assert_eq!(file::read("a", &file::write(&kept)).unwrap().session, kept);
    assert_eq!(
        run(kept.clone(), &[keep(None)]).trials[0].repeated,
        [2, 5],
        "the stored frames stay"
    );
    assert_eq!(run(kept, &[keep(Some(Vec::new()))]).trials[0].repeated, [0; 0]);
    for bad in [vec![6], vec![3, 3], vec![4, 2]] {
        assert!(matches!(apply(&placed, &keep(Some(bad))), Err(Error::Invalid(_))));
    }
}

/// Six frames in which the near ankle passes the far one, which stays at 50, from left to right.
fn crossing_ankles() -> Session {
    let mut session = six_frames();
    for (landmark, places) in [
        (Landmark::NearAnkle, [0.0, 20.0, 48.0, 52.0, 80.0, 100.0]),
        (Landmark::FarAnkle, [50.0; 6]),
    ] {
        let at = Pixel { x_px: places[0], y_px: 20.0 };
        let mark = TrialCommand::PlaceMark { landmark, frame: 0, at, mode: MarkerMode::Skin };
        let samples = places.iter().map(|x| seen(*x)).collect();
        let follow = TrialCommand::KeepFollowed {
            first: 0,
            stretches: [(landmark, samples)].into(),
            camera: None,
            repeated: None,
        };
        let commands = [mark, follow].map(|c| Command::ForTrial(TrialId(1), c));
        session = run(session, &commands);
    }
    session
}

fn ankles(session: &Session) -> [Vec<f64>; 2] {
    let trial = session.trial(TrialId(1)).unwrap();
    [Landmark::NearAnkle, Landmark::FarAnkle].map(|l| {
        trial.tracks[&l].samples.iter().map(|s| s.map_or(f64::NAN, |s| s.at.x_px)).collect()
    })
}

#[test]
fn swapping_the_legs_changes_one_stretch_between_crossings_and_swapping_twice_changes_nothing() {
    let session = crossing_ankles();
    let trial = session.trial(TrialId(1)).unwrap();
    assert_eq!(trial.between_crossings(5), Some((4, 5)));
    assert_eq!(trial.between_crossings(0), Some((0, 1)));
    assert_eq!(trial.between_crossings(2), None, "the legs cross here");
    assert_eq!(trial.between_crossings(77), None);
    let swap = |first, last| Command::ForTrial(TrialId(1), TrialCommand::SwapLegs { first, last });
    let swapped = run(session.clone(), &[swap(0, 1)]);
    assert_eq!(ankles(&swapped)[0], [50.0, 50.0, 48.0, 52.0, 80.0, 100.0]);
    assert_eq!(ankles(&swapped)[1], [0.0, 20.0, 50.0, 50.0, 50.0, 50.0]);
    let near = &swapped.trial(TrialId(1)).unwrap().tracks[&Landmark::NearAnkle];
    assert_eq!(near.keyframes[&0].x_px, 50.0, "the mark that a person placed moves along");
    assert_eq!(run(swapped, &[swap(0, 1)]), session);
    assert_eq!(apply(&session, &swap(4, 6)), Err(Error::NoFrame { frame: 6, frame_count: 6 }));
}
