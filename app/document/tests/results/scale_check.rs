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

/// Expected: the ends of the ranges in `mechanics::limits`.
#[test]
fn a_value_at_the_end_of_its_range_is_computed_and_one_beyond_is_not() {
    use mechanics::limits::{HEIGHT, Limit, MASS, SPEED};
    type SetValue = fn(&mut Session, f64);
    let set: [(Limit, SetValue); 3] = [
        (MASS, |s, kg| s.runner.mass_kg = Some(kg)),
        (HEIGHT, |s, m| s.runner.height_m = Some(m)),
        (SPEED, |s, m_s| trial_mut(s, 0).conditions.speed_m_s = Some(m_s)),
    ];
    for (limit, change) in set {
        let is_computed = |value: f64| {
            let mut session = example();
            change(&mut session, value);
            analyse_trial(&input(&session, 0)).is_ok()
        };
        assert!(is_computed(limit.least_si) && is_computed(limit.most_si), "{limit}");
        assert!(!is_computed(limit.least_si * 0.99) && !is_computed(limit.most_si * 1.01));
    }
}
