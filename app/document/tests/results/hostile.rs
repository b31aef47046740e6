//! Broken, empty and hostile sessions: each gets a sentence or numbers, never a "not a number" and never a panic.

use crate::fixture::{example, input, trial_mut};
use document::results::chart::PixelRange;
use document::results::scene::{Area, phase_figures, phase_trails, scene, trail};
use document::results::{
    Missing, Requirement, ResultCache, TrialResult, WorkStep, analyse_trial, chart, csv, doubt,
    report,
};
use document::session::{Certainty, Session, Track, TrackSample, Vertical, VerticalKind};
use mechanics::body::{Landmark, MarkerSet};
use mechanics::gait::{EventEdit, EventKind};
use mechanics::space::{Direction, Pixel, Side};
use std::rc::Rc;

/// Asserts that a text contains no number that is not finite.
fn assert_numbers(what: &str, text: &str) {
    for bad in ["NaN", "inf,", "inf\"", "inf)", "inf ", "-inf"] {
        assert!(!text.contains(bad), "{what}: {bad} in {text:.400}");
    }
}

/// Computes everything that can be shown of a session, and checks its numbers.
fn show_everything(session: &Session) -> Vec<Rc<TrialResult>> {
    let mut cache = ResultCache::new();
    let trials = 0..session.trials.len();
    let results: Vec<_> = trials.map(|trial| cache.trial(input(session, trial))).collect();
    for (trial, result) in session.trials.iter().zip(&results) {
        let mut seen = format!("{:?}", scene(trial, 0));
        seen += &format!("{:?}{:?}", scene(trial, u32::MAX), trail(trial, Landmark::NearHip, 5, 9));
        seen += &format!("{:?}{:?}", doubt::doubts(trial, None), doubt::next_doubt(trial, 3));
        seen += &format!("{:?}", doubt::doubts(trial, result.as_ref().as_ref().ok()));
        seen += &csv::positions(trial).unwrap_or_default();
        assert_numbers("clip", &seen);
    }
    for result in &results {
        let Ok(analysed) = result.as_ref() else { continue };
        let all = [analysed];
        let area = Area { width_px: 320.0, height_px: 200.0 };
        let mut seen = format!("{:?}{:?}", report::ledger(&all), report::measure_groups(&all));
        seen += &format!("{}{}", report::headline(analysed), report::definition(analysed));
        seen += &format!("{:?}{:?}", report::footnotes(&all), report::failed_checks(analysed));
        seen +=
            &format!("{:?}", chart::energy_bars(&all, PixelRange { from_px: 0.0, to_px: 300.0 }));
        for quantity in chart::quantities(&all) {
            seen += &format!("{:?}", chart::curves(quantity, &all, area));
        }
        let analysis = &analysed.analysis;
        let (times_s, events) = (&analysed.trial.times_s, &analysis.events);
        seen += &format!(
            "{:?}",
            chart::strip(times_s, events, &analysis.strides, &analysis.excluded, 300.0)
        );
        for phase in [0.0, 0.333, 1.0, -1.0, f64::NAN] {
            seen += &format!("{:?}", phase_figures(&[&analysis.figure], phase, area));
        }
        seen += &format!("{:?}", phase_trails(&[&analysis.figure], Landmark::NearHeel, area));
        seen += &csv::measures(analysed);
        assert_numbers("trial", &seen);
    }
    if let Some(pair) = cache.pair(session) {
        let mut seen = report::side_by_side_sentence(&pair);
        seen += &format!(
            "{:?}{:?}",
            report::fairness_summary(&pair.comparison),
            report::split_sentence(&pair)
        );
        seen += &format!("{:?}", report::difference_lines(&pair));
        for measure in document::results::measure::all() {
            seen += &format!("{:?}", report::difference_sentence(&pair, measure));
        }
        assert_numbers("pair", &(seen + &csv::measures_of_two(&pair)));
    }
    results
}

fn missing(session: &Session) -> Vec<Missing> {
    show_everything(session);
    analyse_trial(&input(session, 0)).err().map_or(Vec::new(), |incomplete| incomplete.missing)
}

/// Asserts that this is missing, and that the sentence states what to do.
fn assert_missing(session: &Session, requirement: Requirement, step: WorkStep) {
    let missing = missing(session);
    let found = missing.iter().find(|m| m.requirement == requirement);
    let Some(found) = found else { panic!("{requirement:?} not in {missing:?}") };
    assert_eq!(found.step(), step);
    assert!(found.sentence.contains([':', ',']), "{}", found.sentence);
}

#[test]
fn a_complete_session_misses_nothing() {
    assert_eq!(missing(&example()), []);
}

#[test]
fn an_empty_session_and_a_new_trial_show_what_to_do_first() {
    assert!(show_everything(&Session::empty("x".into())).is_empty());
    let mut session = example();
    session.runner.mass_kg = None;
    let trial = trial_mut(&mut session, 0);
    trial.calibration.scale = None;
    trial.calibration.direction = None;
    trial.tracks.clear();
    for (requirement, step) in [
        (Requirement::Scale, WorkStep::Scale),
        (Requirement::Direction, WorkStep::Scale),
        (Requirement::Mass, WorkStep::Scale),
        (Requirement::Placed(Landmark::NearHip), WorkStep::Markers),
        (Requirement::Placed(Landmark::Head), WorkStep::Markers),
    ] {
        assert_missing(&session, requirement, step);
    }
}

#[test]
fn impossible_numbers_are_reported_with_the_step_to_correct_them() {
    for mass_kg in [0.0, -70.0, 1e9, f64::NAN, f64::INFINITY] {
        let mut session = example();
        session.runner.mass_kg = Some(mass_kg);
        assert_missing(&session, Requirement::Mass, WorkStep::Scale);
    }
    for speed_m_s in [-2.5, 0.0, 400.0, f64::NAN] {
        let mut session = example();
        trial_mut(&mut session, 0).conditions.speed_m_s = Some(speed_m_s);
        assert_missing(&session, Requirement::Speed, WorkStep::Scale);
    }
    for length_m in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let mut session = example();
        trial_mut(&mut session, 0).calibration.scale.as_mut().unwrap().length_m = length_m;
        assert_missing(&session, Requirement::ScaleLength, WorkStep::Scale);
    }
    let mut session = example();
    let scale = trial_mut(&mut session, 0).calibration.scale.as_mut().unwrap();
    scale.to = scale.from;
    assert_missing(&session, Requirement::Scale, WorkStep::Scale);
    let mut session = example();
    let at = Pixel { x_px: 3.0, y_px: 3.0 };
    trial_mut(&mut session, 0).calibration.vertical =
        Some(Vertical { kind: VerticalKind::Plumb, from: at, to: at, frame: 0 });
    assert_missing(&session, Requirement::Vertical, WorkStep::Scale);
    for rate_hz in [0.0, -240.0, f64::NAN] {
        let mut session = example();
        trial_mut(&mut session, 0).calibration.filmed_rate_hz = Some(rate_hz);
        assert_missing(&session, Requirement::FilmedRate, WorkStep::Scale);
    }
}

/// Truncates every track and the clip to this number of frames.
fn cut(session: &mut Session, frames: usize) {
    let trial = trial_mut(session, 0);
    Rc::make_mut(&mut trial.clip.info).stamps_s.truncate(frames);
    for track in trial.tracks.values_mut() {
        Rc::make_mut(track).samples.truncate(frames);
    }
}

#[test]
fn a_clip_too_short_for_two_strides_is_reported() {
    for frames in [0, 1, 9] {
        let mut session = example();
        cut(&mut session, frames);
        assert_missing(&session, Requirement::Frames, WorkStep::Clip);
    }
    for frames in [10, 30, 60, 100, 130] {
        let mut session = example();
        cut(&mut session, frames);
        assert!(!missing(&session).is_empty(), "{frames}");
    }
    let mut session = example();
    cut(&mut session, 160);
    assert_missing(&session, Requirement::Strides, WorkStep::Strides);
}

/// Expected: the rate in the example's truth file, 120 frames/s.
#[test]
fn a_clip_in_slow_motion_is_proposed_the_rate_at_which_the_runner_falls_with_g() {
    for slower in [2.0, 4.0, 5.0, 8.0] {
        let mut session = example();
        let clip = &mut trial_mut(&mut session, 0).clip;
        let info = Rc::make_mut(&mut clip.info);
        info.stamps_s.iter_mut().for_each(|s| *s *= slower);
        assert_missing(&session, Requirement::FilmedRate, WorkStep::Scale);
        let sentence = missing(&session)[0].sentence.clone();
        println!("{sentence}");
        assert!(sentence.contains("enter 120 as the filmed rate"), "{slower}: {sentence}");
        let calibration = &mut trial_mut(&mut session, 0).calibration;
        calibration.filmed_rate_hz = Some(120.0);
        assert_eq!(missing(&session), [], "{slower}");
    }
}

#[test]
fn timestamps_that_do_not_rise_are_reported() {
    for broken_s in [0.0, f64::NAN, f64::INFINITY] {
        let mut session = example();
        let trial = trial_mut(&mut session, 0);
        Rc::make_mut(&mut trial.clip.info).stamps_s[300] = broken_s;
        assert_missing(&session, Requirement::Frames, WorkStep::Clip);
    }
}

/// Changes every sample of a landmark of the first trial.
fn change(
    session: &mut Session,
    landmark: Landmark,
    with: impl Fn(usize, TrackSample) -> Option<TrackSample>,
) {
    let track: &mut Track = Rc::make_mut(trial_mut(session, 0).tracks.get_mut(&landmark).unwrap());
    for (frame, slot) in track.samples.iter_mut().enumerate() {
        *slot = slot.and_then(|s| with(frame, s));
    }
}

#[test]
fn a_landmark_that_is_placed_but_not_tracked_is_reported() {
    let mut session = example();
    change(&mut session, Landmark::NearKnee, |frame, s| (frame == 0).then_some(s));
    assert_missing(&session, Requirement::Tracked(Landmark::NearKnee), WorkStep::Markers);
    let mut session = example();
    change(&mut session, Landmark::NearKnee, |frame, s| (frame < 4).then_some(s));
    assert_missing(&session, Requirement::Tracked(Landmark::NearKnee), WorkStep::Markers);
}

#[test]
fn positions_that_are_not_finite_exclude_strides_and_never_reach_the_screen() {
    let away =
        |x_px: f64, y_px: f64| move |s: TrackSample| TrackSample { at: Pixel { x_px, y_px }, ..s };
    for (x_px, y_px) in [(f64::NAN, 0.0), (0.0, f64::INFINITY), (f64::NEG_INFINITY, f64::NAN)] {
        let mut session = example();
        change(&mut session, Landmark::NearAnkle, |frame, s| {
            Some(if frame % 50 == 25 { away(x_px, y_px)(s) } else { s })
        });
        show_everything(&session);
        change(&mut session, Landmark::NearAnkle, |_, s| Some(away(x_px, y_px)(s)));
        assert_missing(&session, Requirement::Tracked(Landmark::NearAnkle), WorkStep::Markers);
    }
    let mut session = example();
    for landmark in MarkerSet::NearSide.landmarks() {
        change(&mut session, *landmark, |_, s| Some(away(1e9, -1e9)(s)));
    }
    show_everything(&session);
}

#[test]
fn a_hidden_stretch_excludes_its_stride_and_is_the_worst_doubt() {
    let mut session = example();
    change(&mut session, Landmark::NearAnkle, |frame, s| {
        let hidden = (200..240).contains(&frame);
        Some(if hidden {
            TrackSample { certainty: Certainty::Coasting, p_wrong: 0.8, ..s }
        } else {
            s
        })
    });
    change(&mut session, Landmark::Head, |frame, s| {
        let unsure = (100..103).contains(&frame) || frame == 105;
        Some(if unsure {
            TrackSample { certainty: Certainty::Doubtful, p_wrong: 0.2, ..s }
        } else {
            s
        })
    });
    let whole = analyse_trial(&input(&example(), 0)).unwrap();
    let results = show_everything(&session);
    let analysed = results[0].as_ref().as_ref().unwrap();
    assert!(analysed.analysis.strides.len() < whole.analysis.strides.len());
    assert!(!analysed.analysis.excluded.is_empty());
    let doubts = doubt::doubts(&session.trials[0], None);
    let sentences: Vec<String> = doubts.iter().map(doubt::Doubt::sentence).collect();
    assert_eq!(sentences, ["near ankle hidden, frames 201–240", "head unsure, frames 101–106"]);
    // With numbers, those first that affect them most: a stride that is left out, then joules.
    let by_stake = doubt::doubts(&session.trials[0], Some(analysed));
    let sentences: Vec<String> = by_stake.iter().map(doubt::Doubt::sentence).collect();
    assert_eq!(sentences[0], "near ankle hidden, frames 201–240: a stride is left out");
    assert!(sentences[1].starts_with("head unsure, frames 101–106: under 0.1 J"), "{sentences:?}");
    assert_eq!(doubt::next_doubt(&session.trials[0], 0).unwrap().landmark, Landmark::Head);
    assert_eq!(doubt::next_doubt(&session.trials[0], 150).unwrap().landmark, Landmark::NearAnkle);
    assert_eq!(doubt::next_doubt(&session.trials[0], 500).unwrap().landmark, Landmark::Head);
}

#[test]
fn a_marker_that_is_lost_at_once_is_reported_as_lost_rather_than_not_tracked() {
    let mut session = example();
    change(&mut session, Landmark::NearKnee, |frame, s| (frame == 0).then_some(s));
    let doubts = doubt::doubts(&session.trials[0], None);
    let sentences: Vec<String> = doubts.iter().map(doubt::Doubt::sentence).collect();
    let last = session.trials[0].clip.info.frame_count();
    assert_eq!(sentences, [format!("near knee lost, frames 2–{last}")]);
    let results = show_everything(&session);
    let missing = results[0].as_ref().as_ref().unwrap_err();
    assert_eq!(
        missing.missing[0].sentence,
        "the near knee was lost at once: place it in more frames"
    );
    let mut placed = (*trial_mut(&mut session, 0).tracks[&Landmark::NearKnee]).clone();
    placed.followed = None;
    trial_mut(&mut session, 0).tracks.insert(Landmark::NearKnee, Rc::new(placed));
    assert!(doubt::doubts(&session.trials[0], None).is_empty(), "placed only, it is in no doubt");
    assert_missing(&session, Requirement::Tracked(Landmark::NearKnee), WorkStep::Markers);
}

#[test]
fn absurd_events_sets_and_directions_are_tolerated() {
    for (at_s, count) in [(1.0, 40), (1e9, 3), (-5.0, 3), (f64::NAN, 2)] {
        let mut session = example();
        for i in 0..count {
            let at_s = at_s + f64::from(i) * 1e-3;
            let edit = EventEdit::Add { side: Side::Near, kind: EventKind::Contact, at_s };
            trial_mut(&mut session, 0).event_edits.push(edit);
        }
        show_everything(&session);
    }
    let mut session = example();
    trial_mut(&mut session, 0).marker_set = MarkerSet::BothSides;
    assert_missing(&session, Requirement::Placed(Landmark::FarHip), WorkStep::Markers);
    trial_mut(&mut session, 0).marker_set = MarkerSet::Legs;
    show_everything(&session);
    trial_mut(&mut session, 0).calibration.direction = Some(Direction::Left);
    show_everything(&session);
}
