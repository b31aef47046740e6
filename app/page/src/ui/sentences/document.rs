//! Sentences about the document: what is wrong, then what to do.

use crate::browser::storage::StorageError;
use crate::ui::autosave::SaveState;
use document::session::file::NewerVersion;
use document::session::persistence::{OlderRevision, SaveFailure};
use document::session::{
    ClipMatch, ClipRef, Error, FileFault, Invalid, MAX_EVENT_EDITS, MAX_FRAMES, MAX_FRAMES_IN_ALL,
    MAX_SAMPLES, MAX_TRIALS, SessionField,
};

/// Why a command, a file, a saved session or the example is refused.
#[must_use]
pub fn sentence(error: &Error) -> String {
    match error {
        Error::NoTrial => "this trial is no longer there: choose another".to_owned(),
        Error::TrialTaken => "this trial is there already: open the clip again".to_owned(),
        Error::NoFrame { frame, frame_count } => format!(
            "frame {frame} is not in this clip of {frame_count} frames: choose another frame"
        ),
        Error::Invalid(invalid) => {
            format!("this cannot be kept, because {}: change it and try again", reason(invalid))
        }
        Error::File { name, fault } => file(name, fault),
        Error::NothingSaved => {
            "this session is no longer on this device: open it from a saved session file".to_owned()
        }
        Error::AllDamaged => {
            "what is kept of this session is damaged: open it from a saved session file".to_owned()
        }
        Error::ExampleBroken { reason } => {
            format!(
                "the example that came with this page is broken ({reason}): load the page again"
            )
        }
        Error::ExampleClips { expected, opened } => format!(
            "the example has {expected} clips and {opened} were opened: try the example again"
        ),
        other => other.to_string(),
    }
}

/// Why a session file cannot be opened.
fn file(name: &str, fault: &FileFault) -> String {
    const USE_ANOTHER: &str = "use another copy of it, or save it again where it was made";
    match fault {
        FileFault::Empty => {
            format!("“{name}” is empty: choose a session file saved from Stride Ledger")
        }
        FileFault::Unreadable => format!(
            "“{name}” could not be read, perhaps because it was moved or changed: choose it again"
        ),
        FileFault::TooLarge => format!(
            "“{name}” is larger than 64 MB, more than any session: choose a session file saved from Stride Ledger"
        ),
        FileFault::NotASession => format!(
            "“{name}” is not a session file: choose one saved from Stride Ledger, its name ends in .stride.json"
        ),
        FileFault::Broken { line, column, reason } => {
            format!("“{name}” is broken at line {line}, column {column} ({reason}): {USE_ANOTHER}")
        }
        FileFault::Invalid(invalid) => {
            format!("“{name}” cannot be opened, because {}: {USE_ANOTHER}", reason(invalid))
        }
        FileFault::Newer { made_with } => format!(
            "“{name}” was made by a newer version ({made_with}): reload this page while online to get the newer version, then open the file again"
        ),
        other => format!("“{name}” cannot be opened ({other}): {USE_ANOTHER}"),
    }
}

/// The reason that follows "because".
fn reason(invalid: &Invalid) -> String {
    match invalid {
        Invalid::Number { field } => format!("{} is not a usable number", field_name(*field)),
        Invalid::Text { field, max_bytes } => {
            format!("{} is longer than {max_bytes} bytes", field_name(*field))
        }
        Invalid::TooManyTrials => format!("there are more than {MAX_TRIALS} trials"),
        Invalid::NoFrames { clip } => format!("the clip “{clip}” has no frames"),
        Invalid::TooManyFrames { clip, count } => {
            format!("the clip “{clip}” has {count} frames, more than {MAX_FRAMES}")
        }
        Invalid::TooManyFramesInAll => {
            format!("the clips have more than {MAX_FRAMES_IN_ALL} frames together")
        }
        Invalid::TimesNotIncreasing { clip, frame } => {
            format!("frame {frame} of the clip “{clip}” is not later than the one before it")
        }
        Invalid::Image { clip, width_px, height_px } => {
            format!("the clip “{clip}” has an impossible picture ({width_px} × {height_px})")
        }
        Invalid::TooManySamples => format!("there are more than {MAX_SAMPLES} positions"),
        Invalid::TooManyEdits => {
            format!("there are more than {MAX_EVENT_EDITS} changes to the events of one trial")
        }
        Invalid::Id => "its name on this device is not one that Stride Ledger gives".to_owned(),
        Invalid::SameTrial { id } => format!("two trials have the same number {id}"),
        of_a_trial => reason_of_a_trial(of_a_trial),
    }
}

fn reason_of_a_trial(invalid: &Invalid) -> String {
    match invalid {
        Invalid::TrackLength { trial, found, expected } => format!(
            "a track of the trial “{trial}” has {found} frames where the clip has {expected}"
        ),
        Invalid::KeyframeOutside { trial, frame } => format!(
            "a marker of the trial “{trial}” is placed in frame {frame}, which is not in the clip"
        ),
        Invalid::Camera { trial } => format!(
            "the camera of the trial “{trial}” has other frames than the clip, or an impossible place"
        ),
        Invalid::Repeated { trial } => format!(
            "the repeated pictures of the trial “{trial}” are not frames of the clip in their order"
        ),
        Invalid::TrackedOutside { trial } => format!(
            "a track of the trial “{trial}” was followed over frames that are not in the clip"
        ),
        Invalid::Sample { trial, frame } => {
            format!("a track of the trial “{trial}” has an impossible position in frame {frame}")
        }
        other => other.to_string(),
    }
}

fn field_name(field: SessionField) -> &'static str {
    match field {
        SessionField::SessionName => "the name of the session",
        SessionField::Notes => "the text of the notes",
        SessionField::TrialName => "the name of the trial",
        SessionField::ClipName => "the name of the clip",
        SessionField::Fingerprint => "the fingerprint of a clip",
        SessionField::Codec => "the codec of a clip",
        SessionField::RunnerName => "the name of the runner",
        SessionField::Cue => "the cue",
        SessionField::Shoes => "the text on the shoes",
        SessionField::Mass => "the mass of the runner",
        SessionField::Height => "the height of the runner",
        SessionField::Cutoff => "the cut-off",
        SessionField::Speed => "the speed",
        SessionField::FilmedRate => "the filmed rate",
        SessionField::ScaleEnd => "an end of the scale",
        SessionField::ScaleLength => "the length of the scale",
        SessionField::VerticalEnd => "an end of the plumb or ground line",
        SessionField::MarkerPosition => "the place of a marker",
        SessionField::FrameTime => "the time of a frame",
        SessionField::EventTime => "the time of an event",
    }
}

/// Why a session is shown but not changed.
#[must_use]
pub fn newer_version(newer: &NewerVersion) -> String {
    let NewerVersion { name, made_with } = newer;
    format!(
        "“{name}” was made by a newer version ({made_with}): it is shown but not changed. \
         Reload this page while online to get the newer version"
    )
}

/// The warning that an older revision was opened.
#[must_use]
pub fn older_revision(older: &OlderRevision) -> String {
    let OlderRevision { name, age_s } = older;
    format!(
        "what was saved last of “{name}” is damaged, so this is the save before it, {age_s:.0} s older: check the last changes"
    )
}

/// Why a file is not accepted as the clip of a trial.
#[must_use]
pub fn another_clip(outcome: ClipMatch, wanted: &ClipRef, found: &ClipRef) -> String {
    let (name, size) = (&found.name, megabytes(found.size_bytes));
    let (wanted_name, wanted_size) = (&wanted.name, megabytes(wanted.size_bytes));
    if outcome == ClipMatch::Changed {
        format!(
            "“{name}” is not the file it was when it was marked ({size} now, {wanted_size} then): \
             choose an unchanged copy of it"
        )
    } else {
        format!(
            "“{name}” is another clip than the one that was marked: choose “{wanted_name}” \
             ({wanted_size})"
        )
    }
}

fn megabytes(size_bytes: u64) -> String {
    format!("{:.2} MB", size_bytes as f64 / 1e6)
}

/// The state of saving.
#[must_use]
pub fn save_state(state: &SaveState) -> String {
    match state {
        SaveState::Saved => "Saved on this device".to_owned(),
        SaveState::Saving => "Saving".to_owned(),
        SaveState::NotSaved(SaveFailure::NoAnswer) => {
            "Not saved: the browser has not answered; it is tried again".to_owned()
        }
        SaveState::NotSaved(SaveFailure::Refused(error)) => {
            format!("Not saved: {}", storage(error))
        }
    }
}

/// Why something could not be saved or found again.
#[must_use]
pub fn storage(error: &StorageError) -> String {
    match error {
        StorageError::Unrecovered(error) => sentence(error),
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use document::session::{ClipInfo, Session, file};
    use std::rc::Rc;

    fn clip(name: &str, size_bytes: u64) -> ClipRef {
        let info = ClipInfo {
            width_px: 1280,
            height_px: 720,
            codec: String::new(),
            rotation_quarter_turns: 0,
            stamps_s: vec![0.0],
            filmed_rate_hz: None,
        };
        ClipRef { name: name.into(), size_bytes, fingerprint: String::new(), info: Rc::new(info) }
    }

    #[test]
    fn a_sentence_on_a_file_names_the_file_the_fault_and_what_to_do() {
        let said = |text: &str| sentence(&file::read("a.stride.json", text).unwrap_err());
        for (text, fault, remedy) in [
            ("", "is empty", "choose a session file"),
            ("[1]", "is not a session file", "choose one saved"),
            (r#"{"format": 1, "made_with": "x""#, "is broken at line 1", "use another copy"),
            (r#"{"format": 1, "made_with": "x", "session": {}}"#, "missing field", "use another"),
            (r#"{"format": 2, "made_with": "v9", "session": 5}"#, "newer version (v9)", "reload"),
        ] {
            let sentence = said(text);
            let all = ["“a.stride.json”", fault, remedy].iter().all(|w| sentence.contains(w));
            assert!(all, "{sentence}");
        }
        let mut session = Session::empty("a".into());
        session.runner.mass_kg = Some(1e300);
        let sentence = said(&file::write(&session));
        assert!(sentence.contains("the mass of the runner is not a usable number"), "{sentence}");
    }

    #[test]
    fn another_clip_is_refused_with_the_name_of_the_one_that_is_wanted() {
        let (wanted, found) = (clip("low.mp4", 1_234_567), clip("b.mp4", 9));
        let other = another_clip(ClipMatch::Different, &wanted, &found);
        assert!(other.contains("“b.mp4”") && other.contains("“low.mp4” (1.23 MB)"), "{other}");
        let changed = another_clip(ClipMatch::Changed, &wanted, &wanted);
        assert!(changed.contains("not the file it was"), "{changed}");
    }

    #[test]
    fn an_older_revision_is_opened_with_a_warning() {
        let older = OlderRevision { name: "Monday".into(), age_s: 3.0 };
        assert!(older_revision(&older).contains("damaged"));
    }
}
