//! Session files: what is written is read back, and nothing in a file is trusted.

#![allow(clippy::unwrap_used, reason = "tests: a failure is the answer")]

mod common;

use common::session;
use document::session::file::{self, NewerVersion, Read};
use document::session::{Error, FileFault, Session, TrialId};
use serde_json::{Value, json};

const NAME: &str = "monday.stride.json";

fn read(text: &str) -> Result<Read, Error> {
    file::read(NAME, text)
}

/// A session file as JSON, to be corrupted.
fn sample() -> Value {
    let mut json: Value = serde_json::from_str(&file::write(&session(4, 60))).unwrap();
    let track = json!({
        "mode": "sticker", "keyframes": [[0, 1.5, 2.5]], "certainty": "ps-",
        "x_px": [1.5, 3.0], "y_px": [2.5, 4.0], "p_wrong": [0.0, 0.25]
    });
    let trial = &mut json["session"]["trials"][0];
    trial["clip"]["info"]["stamps_s"] = json!([0.0, 0.01, 0.02]);
    trial["tracks"] = json!({ "near_hip": track });
    json["session"]["trials"] = json!([trial]);
    json
}

fn corrupted(corrupt: impl FnOnce(&mut Value)) -> Result<Read, Error> {
    let mut json = sample();
    corrupt(&mut json);
    read(&json.to_string())
}

fn trial(json: &mut Value) -> &mut Value {
    &mut json["session"]["trials"][0]
}

#[test]
fn what_is_written_is_read_back_to_the_last_bit() {
    for seed in 0..200 {
        let session = session(seed, 80);
        let text = file::write(&session);
        assert_eq!(read(&text), Ok(Read { session, read_only: None }), "seed {seed}: {text}");
    }
}

#[test]
fn writing_what_was_read_gives_the_same_text() {
    for seed in 0..50 {
        let text = file::write(&session(seed, 80));
        assert_eq!(file::write(&read(&text).unwrap().session), text);
    }
}

/// The file never changes: whoever changes the format adds a second one beside it.
#[test]
fn a_file_of_format_1_is_read_by_every_later_version() {
    let text = include_str!("fixtures/format-1.stride.json");
    let read = read(text).unwrap();
    assert_eq!(read.read_only, None);
    let session = read.session;
    assert_eq!(session.name, "Monday, belt");
    assert_eq!((session.runner.mass_kg, session.runner.height_m), (Some(61.5), Some(1.72)));
    let trial = session.trial(TrialId(2)).unwrap();
    assert_eq!(trial.clip.info.stamps_s.len(), 4);
    assert_eq!(trial.calibration.scale.unwrap().length_m, 2.0);
    assert_eq!(trial.event_edits.len(), 3);
    let [hip, knee] = ["near_hip", "near_knee"].map(|l| {
        let landmark = serde_json::from_value(json!(l)).unwrap();
        trial.tracks[&landmark].samples.iter().map(|s| s.map(|s| s.at.x_px)).collect::<Vec<_>>()
    });
    assert_eq!(hip, [Some(612.125), Some(613.5), None, Some(615.25)]);
    assert_eq!(knee, [None, None, Some(640.0), None]);
    let followed = |l: &str| trial.tracks[&serde_json::from_value(json!(l)).unwrap()].followed;
    assert_eq!(
        followed("near_hip"),
        Some((0, 3)),
        "that file does not state it: the range that was not only placed by hand"
    );
    assert_eq!(followed("near_knee"), Some((2, 2)));
    let again = file::read(NAME, &file::write(&session)).unwrap().session;
    assert_eq!(again, session);
}

#[test]
fn members_that_this_version_does_not_know_are_preserved() {
    let mut json = sample();
    json["session"]["weather"] = json!({ "wind_m_s": 1.25 });
    trial(&mut json)["shade"] = json!([1, "two", null]);
    let written = file::write(&read(&json.to_string()).unwrap().session);
    let mut again: Value = serde_json::from_str(&written).unwrap();
    assert_eq!(again["session"]["weather"], json!({ "wind_m_s": 1.25 }));
    assert_eq!(trial(&mut again)["shade"], json!([1, "two", null]));
}

#[test]
fn a_foreign_file_is_not_a_session_file() {
    let others = ["hello", "[1, 2]", "{}", "{\"format\": 1}", "<html>", "\u{0}\u{1}\u{fffd}", "7"];
    for other in others {
        assert_eq!(read(other), Err(FileFault::NotASession.of(NAME)), "{other}");
    }
}

#[test]
fn an_empty_file_is_reported_as_empty() {
    for text in ["", " \n", "\u{feff}"] {
        assert_eq!(read(text), Err(FileFault::Empty.of(NAME)));
    }
}

#[test]
fn a_file_truncated_anywhere_is_never_read_as_a_session() {
    let text = file::write(&session(4, 60));
    for end in (0..text.len()).filter(|e| text.is_char_boundary(*e)) {
        assert!(read(&text[..end]).is_err(), "truncated at {end}");
    }
}

#[test]
fn a_broken_file_is_reported_with_its_line_and_column() {
    let text = sample().to_string().replace("\"format\"", "\n\n \"format\"");
    let broken = text.replacen("\"mode\":", "\"mode\"", 1);
    let outcome = read(&broken);
    let Err(Error::File { fault: FileFault::Broken { line, column, .. }, .. }) = outcome else {
        panic!("not reported as broken: {outcome:?}");
    };
    let at = broken.lines().nth(line - 1).unwrap().get(column - 1..).unwrap();
    assert!(at.starts_with("\"sticker\""), "points at {at}");
}

#[test]
fn a_missing_member_is_named() {
    let error = corrupted(|j| {
        trial(j).as_object_mut().unwrap().remove("calibration");
    });
    assert!(error.unwrap_err().to_string().contains("`calibration`"));
}

#[test]
fn a_newer_file_that_can_be_read_is_read_only() {
    let read = corrupted(|j| {
        j["format"] = json!(2);
        j["made_with"] = json!("Stride Ledger 3.0.0");
    });
    let made_with = "Stride Ledger 3.0.0".into();
    assert_eq!(read.unwrap().read_only, Some(NewerVersion { name: NAME.into(), made_with }));
}

#[test]
fn a_newer_file_that_cannot_be_read_is_refused_as_newer() {
    let error = corrupted(|j| {
        j["format"] = json!(2);
        j["session"] = json!("elsewhere");
    })
    .unwrap_err();
    assert!(matches!(error, Error::File { fault: FileFault::Newer { .. }, .. }), "{error}");
}

#[test]
fn an_invalid_session_is_refused() {
    type Corrupt = fn(&mut Value);
    let cases: [(&str, Corrupt); 14] = [
        ("a frame is not later", |j| trial(j)["clip"]["info"]["stamps_s"][2] = json!(0.01)),
        ("no frames", |j| trial(j)["clip"]["info"]["stamps_s"] = json!([])),
        ("a track too short", |j| {
            trial(j)["clip"]["info"]["stamps_s"] = json!([0.0, 1.0, 2.0, 3.0])
        }),
        ("a keyframe outside", |j| {
            trial(j)["tracks"]["near_hip"]["keyframes"] = json!([[3, 1.0, 1.0]]);
        }),
        ("a position far out", |j| trial(j)["tracks"]["near_hip"]["x_px"][0] = json!(1e300)),
        ("a certainty above one", |j| trial(j)["tracks"]["near_hip"]["p_wrong"][1] = json!(1.5)),
        ("a huge mass", |j| j["session"]["runner"]["mass_kg"] = json!(1e300)),
        ("a huge length", |j| {
            let end = json!({ "x_px": 1.0, "y_px": 1.0 });
            trial(j)["calibration"]["scale"] = json!({ "from": end, "to": end, "length_m": 1e90 });
        }),
        ("no picture", |j| trial(j)["clip"]["info"]["width_px"] = json!(0)),
        ("a fifth quarter turn", |j| trial(j)["clip"]["info"]["rotation_quarter_turns"] = json!(5)),
        ("an identifier with a slash", |j| j["session"]["id"] = json!("../x")),
        ("no identifier", |j| j["session"]["id"] = json!("")),
        ("two trials of one identifier", |j| {
            let same = trial(j).clone();
            j["session"]["trials"] = json!([same, same]);
        }),
        ("too many trials", |j| {
            let one = trial(j).clone();
            let numbered = |i: u32| {
                let mut trial = one.clone();
                trial["id"] = json!(i);
                trial
            };
            j["session"]["trials"] = (0..65).map(numbered).collect();
        }),
    ];
    assert!(corrupted(|_| ()).is_ok());
    for (what, corrupt) in cases {
        let outcome = corrupted(corrupt);
        assert!(
            matches!(outcome, Err(Error::File { fault: FileFault::Invalid(_), .. })),
            "{what}: {outcome:?}"
        );
    }
}

#[test]
fn columns_that_do_not_fit_each_other_are_refused() {
    for (column, value) in [
        ("certainty", json!("ps")),
        ("certainty", json!("pss")),
        ("certainty", json!("pq-")),
        ("x_px", json!([1.0])),
        ("y_px", json!([2.5, 4.0, 5.0])),
        ("p_wrong", json!([0.0])),
        ("p_wrong", json!([0.0, null])),
        ("x_px", json!("many")),
    ] {
        let outcome = corrupted(|j| trial(j)["tracks"]["near_hip"][column] = value.clone());
        let broken = matches!(
            outcome,
            Err(Error::File { fault: FileFault::Broken { .. } | FileFault::Invalid(_), .. })
        );
        assert!(broken, "{column} {value}: {outcome:?}");
    }
}

#[test]
fn a_placed_marker_stays_where_it_was_placed_whatever_the_samples_state() {
    let read = corrupted(|j| trial(j)["tracks"]["near_hip"]["keyframes"] = json!([[2, 7.0, 8.0]]));
    let session = read.unwrap().session;
    let track = session.trials[0].tracks.values().next().unwrap();
    assert_eq!(track.sample(2).map(|s| s.at.x_px), Some(7.0));
}

/// Each would take gigabytes if it were stored before it is counted.
#[test]
fn a_file_larger_than_any_session_is_refused_before_it_is_stored() {
    let letters = "-".repeat(3_000_000);
    let long = "x".repeat(200_000);
    let deep = "[".repeat(100_000);
    let numbers = format!("[{}0]", "0,".repeat(11_000_000));
    let cases = [
        format!(r#"{{"made_with":"x","format":1,"session":{{"certainty":"{letters}"}}}}"#),
        format!(r#"{{"made_with":"x","format":1,"session":{{"notes":"{long}"}}}}"#),
        format!(r#"{{"made_with":"x","format":1,"session":{{"{long}":1}}}}"#),
        format!(r#"{{"made_with":"x","format":1,"session":{deep}"#),
        format!(r#"{{"made_with":"x","format":1,"session":{numbers}}}"#),
    ];
    for case in cases {
        let error = read(&case).unwrap_err();
        assert!(matches!(error, Error::File { fault: FileFault::Broken { .. }, .. }), "{error}");
        assert!(error.to_string().len() < 500);
    }
}

#[test]
fn a_file_beyond_64_mb_is_refused_by_its_size() {
    assert_eq!(file::check_size(NAME, 64 << 20), Ok(()));
    let error = file::check_size(NAME, (64 << 20) + 1);
    assert_eq!(error, Err(FileFault::TooLarge.of(NAME)));
}

/// Every byte of a small file changed in turn: each is answered, with a valid session if any.
#[test]
fn a_changed_byte_anywhere_is_answered() {
    let text = sample().to_string();
    let mut read_all = 0;
    for (place, _) in text.char_indices().filter(|(_, c)| c.is_ascii()) {
        for byte in ["\"", "9", "-", "{", "]", "\\", "e"] {
            let mut changed = text.clone();
            changed.replace_range(place..=place, byte);
            if let Ok(read) = read(&changed) {
                read_all += 1;
                let again = file::read(NAME, &file::write(&read.session)).unwrap();
                assert_eq!(again.session, read.session, "at {place}: {byte}");
            }
        }
    }
    assert!(read_all > 100, "only {read_all} changed files were still sessions");
}

#[test]
fn the_name_of_a_saved_file_is_plain() {
    let named =
        |name: &str| file::file_name(&Session { name: name.into(), ..Session::empty("a".into()) });
    assert_eq!(named("Monday, belt / 12 km"), "Monday-belt-12-km.stride.json");
    assert_eq!(named("../../etc"), "etc.stride.json");
    assert_eq!(named("\u{202e}<>"), "session.stride.json");
    assert_eq!(named("走る"), "走る.stride.json");
}
