//! Camera motion that a tracking run found changes the numbers.

use crate::fixture::{example, input, trial_mut};
use document::results::{AnalysisInput, ResultCache, TrialPair};
use document::session::{CameraPath, CameraPose, Session};
use mechanics::measures::Measure;
use std::rc::Rc;

/// A camera that pans by this many pixels a frame.
fn pan(session: &Session, px_a_frame: f64) -> CameraPath {
    let frames = 0..session.trials[0].clip.info.frame_count();
    let pose = |frame| CameraPose::new(1.0, 0.0, px_a_frame * f64::from(frame), 0.0);
    CameraPath { poses: frames.map(pose).collect(), residual_px: 0.1 }
}

/// The same runner on the ground instead of the belt, so that the speed is measured.
fn on_ground() -> Session {
    let mut session = example();
    trial_mut(&mut session, 0).conditions.on_belt = false;
    trial_mut(&mut session, 0).conditions.speed_m_s = None;
    session
}

#[test]
fn a_cached_result_is_not_reused_after_the_camera_path_changed() {
    let mut session = on_ground();
    let mut cache = ResultCache::new();
    let speed = |cache: &mut ResultCache, session: &Session| {
        let result = cache.trial(input(session, 0));
        result.as_ref().as_ref().unwrap().analysis.measures[&Measure::Speed].mean_si
    };
    let still_m_s = speed(&mut cache, &session);
    let path = Rc::new(pan(&session, -2.0));
    trial_mut(&mut session, 0).camera = Some(path);
    let panned_m_s = speed(&mut cache, &session);
    let metres_per_pixel =
        document::results::analyse::metres_per_pixel(&session.trials[0]).unwrap();
    // 2 px a frame at 120 frames/s, on the ground's frame.
    let added_m_s = 240.0 * metres_per_pixel;
    let error_m_s = panned_m_s - still_m_s - added_m_s;
    assert!(error_m_s.abs() < 0.02 * added_m_s, "{still_m_s} {panned_m_s} {added_m_s}");
    trial_mut(&mut session, 0).camera = None;
    assert_eq!(speed(&mut cache, &session), still_m_s);
}

#[test]
fn a_pair_is_compared_again_after_a_camera_path_changed() {
    let mut session = example();
    let mut cache = ResultCache::new();
    let before: Rc<TrialPair> = cache.pair(&session).unwrap();
    let path = Rc::new(pan(&session, 0.01));
    trial_mut(&mut session, 0).camera = Some(path);
    assert!(!Rc::ptr_eq(&before, &cache.pair(&session).unwrap()));
}

/// Whether a change to the trial or the session changes the input of the analysis.
fn changes(change: impl FnOnce(&mut Session)) -> bool {
    let before = example();
    let mut after = example();
    change(&mut after);
    input(&before, 0) != input(&after, 0)
}

#[test]
fn the_input_changes_with_all_that_is_read_and_with_nothing_else() {
    assert!(changes(|s| s.runner.mass_kg = Some(50.0)));
    assert!(changes(|s| s.runner.height_m = Some(1.5)));
    assert!(changes(|s| trial_mut(s, 0).conditions.on_belt = false));
    assert!(changes(|s| trial_mut(s, 0).calibration.filmed_rate_hz = Some(240.0)));
    assert!(changes(|s| {
        let path = Rc::new(pan(s, 0.0));
        trial_mut(s, 0).camera = Some(path);
    }));
    assert!(!changes(|s| trial_mut(s, 0).name = "another".into()));
    assert!(!changes(|s| trial_mut(s, 0).conditions.cue = "another".into()));
    assert!(!changes(|s| trial_mut(s, 0).repeated = vec![3]));
    assert!(!changes(|s| s.notes = "another".into()));
    let session = example();
    let clone: AnalysisInput = input(&session, 0).clone();
    assert_eq!(clone, input(&session, 0));
}
