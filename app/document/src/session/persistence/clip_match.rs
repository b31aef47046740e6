//! Whether a file is the clip a session was made with.

use crate::session::ClipRef;

/// How a file stands to the clip that is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum ClipMatch {
    /// It is the clip.
    Same,
    /// It is the clip under another name.
    Renamed,
    /// It is another file: a sentence that says so and what to do.
    Different(String),
}

/// Whether the clip that was found is the one that is wanted.
#[must_use]
pub fn match_clip(wanted: &ClipRef, found: &ClipRef) -> ClipMatch {
    let same = (wanted.size_bytes, &wanted.fingerprint) == (found.size_bytes, &found.fingerprint);
    let (name, size) = (&found.name, megabytes(found.size_bytes));
    let (wanted_name, wanted_size) = (&wanted.name, megabytes(wanted.size_bytes));
    match (same, wanted_name == name) {
        (true, true) => ClipMatch::Same,
        (true, false) => ClipMatch::Renamed,
        (false, true) => ClipMatch::Different(format!(
            "“{name}” is not the file it was when it was marked ({size} now, {wanted_size} then): \
             choose an unchanged copy of it"
        )),
        (false, false) => ClipMatch::Different(format!(
            "“{name}” is another clip than the one that was marked: choose “{wanted_name}” \
             ({wanted_size})"
        )),
    }
}

fn megabytes(size_bytes: u64) -> String {
    format!("{:.2} MB", size_bytes as f64 / 1e6)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::ClipInfo;
    use std::rc::Rc;

    fn wanted() -> ClipRef {
        let info = ClipInfo {
            width_px: 1280,
            height_px: 720,
            codec: String::new(),
            rotation_quarter_turns: 0,
            stamps_s: vec![0.0],
            filmed_rate_hz: None,
        };
        ClipRef {
            name: "low.mp4".into(),
            size_bytes: 1_234_567,
            fingerprint: "aa".into(),
            info: Rc::new(info),
        }
    }

    fn found(name: &str, size_bytes: u64, fingerprint: &str) -> ClipRef {
        let fingerprint = fingerprint.into();
        ClipRef { name: name.into(), size_bytes, fingerprint, ..wanted() }
    }

    fn refusal(found: &ClipRef) -> String {
        match match_clip(&wanted(), found) {
            ClipMatch::Different(sentence) => sentence,
            taken => panic!("taken for the clip: {taken:?}"),
        }
    }

    #[test]
    fn a_clip_is_known_again_under_any_name() {
        let [same, copy] = ["low.mp4", "copy.mp4"].map(|name| found(name, 1_234_567, "aa"));
        assert_eq!(match_clip(&wanted(), &same), ClipMatch::Same);
        assert_eq!(match_clip(&wanted(), &copy), ClipMatch::Renamed);
    }

    #[test]
    fn another_clip_is_refused_with_the_name_of_the_one_that_is_wanted() {
        let sentence = refusal(&found("b.mp4", 9, "bb"));
        assert!(sentence.contains("“b.mp4”") && sentence.contains("“low.mp4” (1.23 MB)"));
    }

    #[test]
    fn a_changed_file_of_the_same_name_is_refused() {
        assert!(refusal(&found("low.mp4", 1_234_567, "bb")).contains("not the file it was"));
    }
}
