//! The scale checked against the height entered.

use crate::fixture::{example, input, trial_mut};
use document::results::{ResultCache, analyse_trial, report};
use document::session::Session;

fn scale_note(session: &Session) -> Option<String> {
    let analysed = analyse_trial(&input(session, 0)).unwrap();
    report::footnotes(&[&analysed]).into_iter().find(|note| note.contains("height entered"))
}

#[test]
fn a_scale_that_fits_the_height_is_not_questioned() {
    assert_eq!(scale_note(&example()), None);
}

/// Expected: a scale 1.3 times too long makes thigh and shank 1.3 times too long.
#[test]
fn a_scale_that_does_not_fit_the_height_is_questioned() {
    for factor in [0.7, 1.3] {
        let mut session = example();
        trial_mut(&mut session, 0).calibration.scale.as_mut().unwrap().length_m *= factor;
        let note = scale_note(&session).unwrap();
        assert!(note.ends_with("where 49 % is usual: check the scale and the height."), "{note}");
        session.runner.height_m = None;
        assert_eq!(scale_note(&session), None, "no height, no check");
    }
}

#[test]
fn the_note_stays_when_both_trials_share_their_cut_offs() {
    let mut session = example();
    session.runner.height_m = Some(1.2);
    let pair = ResultCache::new().pair(&session).unwrap();
    let notes = report::footnotes(&[&pair.first, &pair.second]);
    assert!(notes.iter().any(|note| note.contains("height entered")), "{notes:?}");
}
