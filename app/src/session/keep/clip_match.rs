//! Whether a file is the clip a session was made with.

use super::generation::hex_sha256;
use crate::session::ClipRef;

/// Bytes at either end of a file that go into its fingerprint.
pub const END_BYTES: u64 = 65_536;

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

/// The fingerprint of a file: SHA-256, in hexadecimal, of its size (eight bytes, the lowest first)
/// and its first and last 64 KiB (each the whole file where it is shorter).
#[must_use]
pub fn fingerprint(size_bytes: u64, first: &[u8], last: &[u8]) -> String {
    hex_sha256(&[&size_bytes.to_le_bytes(), first, last])
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
            fingerprint: fingerprint(1_234_567, b"begin", b"end"),
            info: Rc::new(info),
        }
    }

    fn found(name: &str, size_bytes: u64, last: &[u8]) -> ClipRef {
        let fingerprint = fingerprint(size_bytes, b"begin", last);
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
        let [same, copy] = ["low.mp4", "copy.mp4"].map(|name| found(name, 1_234_567, b"end"));
        assert_eq!(match_clip(&wanted(), &same), ClipMatch::Same);
        assert_eq!(match_clip(&wanted(), &copy), ClipMatch::Renamed);
    }

    #[test]
    fn another_clip_is_refused_with_the_name_of_the_one_that_is_wanted() {
        let sentence = refusal(&found("b.mp4", 9, b"end"));
        assert!(sentence.contains("“b.mp4”") && sentence.contains("“low.mp4” (1.23 MB)"));
    }

    #[test]
    fn a_changed_file_of_the_same_name_is_refused() {
        assert!(refusal(&found("low.mp4", 1_234_567, b"END")).contains("not the file it was"));
    }

    #[test]
    fn the_fingerprint_hangs_on_size_and_both_ends() {
        let of = fingerprint(10, b"a", b"b");
        assert_ne!(of, fingerprint(11, b"a", b"b"));
        assert_ne!(of, fingerprint(10, b"x", b"b"));
        assert_ne!(of, fingerprint(10, b"a", b"x"));
    }
}
