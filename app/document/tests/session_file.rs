//! Session files: what is written is read again, and nothing in a file is trusted.

#![allow(clippy::unwrap_used, reason = "tests: a failure is the answer")]

mod common;

use common::session;
use document::session::file::{self, FileError, Read};
use document::session::{Session, TrialId};
use serde_json::{Value, json};

const NAME: &str = "monday.stride.json";

fn read(text: &str) -> Result<Read, FileError> {
    file::read(NAME, text)
}

/// A session file as JSON, to be spoilt.
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

fn spoilt(spoil: impl FnOnce(&mut Value)) -> Result<Read, FileError> {
    let mut json = sample();
    spoil(&mut json);
    read(&json.to_string())
}

fn trial(json: &mut Value) -> &mut Value {
    &mut json["session"]["trials"][0]
}

#[test]
fn what_is_written_is_read_again_to_the_last_bit() {
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

/// The file stays as it is for ever: whoever changes the format adds a second one beside it.
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
        "that file does not say: it is where more is known than placed"
    );
    assert_eq!(followed("near_knee"), Some((2, 2)));
    let again = file::read(NAME, &file::write(&session)).unwrap().session;
    assert_eq!(again, session);
}

#[test]
fn members_that_this_version_does_not_know_are_kept() {
    let mut json = sample();
    json["session"]["weather"] = json!({ "wind_m_s": 1.25 });
    trial(&mut json)["shade"] = json!([1, "two", null]);
    let written = file::write(&read(&json.to_string()).unwrap().session);
    let mut again: Value = serde_json::from_str(&written).unwrap();
    assert_eq!(again["session"]["weather"], json!({ "wind_m_s": 1.25 }));
    assert_eq!(trial(&mut again)["shade"], json!([1, "two", null]));
}

#[test]
fn something_else_is_said_to_be_no_session_file() {
    let others = ["hello", "[1, 2]", "{}", "{\"format\": 1}", "<html>", "\u{0}\u{1}\u{fffd}", "7"];
    for other in others {
        let error = read(other).unwrap_err();
        assert_eq!(error, FileError::NotASession { name: NAME.into() }, "{other}");
        assert!(error.to_string().contains(NAME) && error.to_string().contains("choose"));
    }
}

#[test]
fn an_empty_file_is_said_to_be_empty() {
    for text in ["", " \n", "\u{feff}"] {
        assert_eq!(read(text), Err(FileError::Empty { name: NAME.into() }));
    }
}

#[test]
fn a_file_cut_off_anywhere_is_never_taken_for_a_session() {
    let text = file::write(&session(4, 60));
    for end in (0..text.len()).filter(|e| text.is_char_boundary(*e)) {
        assert!(read(&text[..end]).is_err(), "cut at {end}");
    }
}

#[test]
fn a_broken_file_is_said_to_be_broken_and_where() {
    let text = sample().to_string().replace("\"format\"", "\n\n \"format\"");
    let broken = text.replacen("\"mode\":", "\"mode\"", 1);
    let Err(FileError::Broken { line, column, .. }) = read(&broken) else {
        panic!("not found broken");
    };
    let at = broken.lines().nth(line - 1).unwrap().get(column - 1..).unwrap();
    assert!(at.starts_with("\"sticker\""), "points at {at}");
}

#[test]
fn a_missing_member_is_named() {
    let error = spoilt(|j| {
        trial(j).as_object_mut().unwrap().remove("calibration");
    });
    assert!(error.unwrap_err().to_string().contains("`calibration`"));
}

#[test]
fn a_newer_file_that_still_makes_sense_is_shown_and_not_to_be_saved_over() {
    let read = spoilt(|j| {
        j["format"] = json!(2);
        j["made_with"] = json!("Stride Ledger 3.0.0");
    });
    let said = read.unwrap().read_only.unwrap();
    assert!(said.contains(NAME) && said.contains("Stride Ledger 3.0.0"));
}

#[test]
fn a_newer_file_that_makes_no_sense_is_refused_with_what_to_do() {
    let error = spoilt(|j| {
        j["format"] = json!(2);
        j["session"] = json!("elsewhere");
    })
    .unwrap_err();
    assert!(matches!(error, FileError::Newer { .. }));
    assert!(error.to_string().contains("reload"));
}

#[test]
fn what_cannot_be_true_is_refused() {
    type Spoil = fn(&mut Value);
    let cases: [(&str, Spoil); 14] = [
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
        ("a name on the device with a slash", |j| j["session"]["id"] = json!("../x")),
        ("no name on the device", |j| j["session"]["id"] = json!("")),
        ("two trials of one number", |j| {
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
    assert!(spoilt(|_| ()).is_ok());
    for (what, spoil) in cases {
        let outcome = spoilt(spoil);
        assert!(matches!(outcome, Err(FileError::Unsound { .. })), "{what}: {outcome:?}");
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
        let outcome = spoilt(|j| trial(j)["tracks"]["near_hip"][column] = value.clone());
        let broken = matches!(outcome, Err(FileError::Broken { .. } | FileError::Unsound { .. }));
        assert!(broken, "{column} {value}: {outcome:?}");
    }
}

#[test]
fn a_placed_marker_is_where_it_was_placed_whatever_the_samples_say() {
    let read = spoilt(|j| trial(j)["tracks"]["near_hip"]["keyframes"] = json!([[2, 7.0, 8.0]]));
    let session = read.unwrap().session;
    let track = session.trials[0].tracks.values().next().unwrap();
    assert_eq!(track.sample(2).map(|s| s.at.x_px), Some(7.0));
}

/// Each would hold gigabytes if it were read before it is counted.
#[test]
fn what_is_larger_than_a_session_can_be_is_refused_before_it_is_held() {
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
        assert!(matches!(error, FileError::Broken { .. }), "{error}");
        assert!(error.to_string().len() < 500);
    }
}

#[test]
fn a_file_beyond_64_mb_is_refused_by_its_size() {
    assert_eq!(file::check_size(NAME, 64 << 20), Ok(()));
    let error = file::check_size(NAME, (64 << 20) + 1);
    assert_eq!(error, Err(FileError::TooLarge { name: NAME.into() }));
}

/// Every byte of a small file changed in turn: an answer each time, and a sound session if any.
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
