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
    /// It is another file: a sentence to show.
    Different {
        /// What is wrong, then what to do.
        sentence: String,
    },
}

/// The fingerprint of a file: SHA-256, in hexadecimal, of its size (eight bytes, the lowest first)
/// and its first and last 64 KiB (each the whole file where it is shorter).
#[must_use]
pub fn fingerprint(size_bytes: u64, first: &[u8], last: &[u8]) -> String {
    hex_sha256(&[&size_bytes.to_le_bytes(), first, last])
}

/// Whether a file of this name, size and fingerprint is the clip that is wanted.
#[must_use]
pub fn match_clip(wanted: &ClipRef, name: &str, size_bytes: u64, fingerprint: &str) -> ClipMatch {
    let same = wanted.size_bytes == size_bytes && wanted.fingerprint == fingerprint;
    let wanted_size = megabytes(wanted.size_bytes);
    match (same, wanted.name == name) {
        (true, true) => ClipMatch::Same,
        (true, false) => ClipMatch::Renamed,
        (false, true) => ClipMatch::Different {
            sentence: format!(
                "“{name}” is not the file it was when it was marked ({} now, {wanted_size} then): \
                 choose an unchanged copy of it",
                megabytes(size_bytes)
            ),
        },
        (false, false) => ClipMatch::Different {
            sentence: format!(
                "“{name}” is another clip than the one that was marked: choose “{}” ({wanted_size})",
                wanted.name
            ),
        },
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

    #[test]
    fn a_clip_is_known_again_under_any_name() {
        let clip = wanted();
        let hash = fingerprint(1_234_567, b"begin", b"end");
        assert_eq!(match_clip(&clip, "low.mp4", 1_234_567, &hash), ClipMatch::Same);
        assert_eq!(match_clip(&clip, "copy.mp4", 1_234_567, &hash), ClipMatch::Renamed);
    }

    #[test]
    fn another_clip_is_refused_with_the_name_of_the_one_that_is_wanted() {
        let other = fingerprint(9, b"begin", b"end");
        let ClipMatch::Different { sentence } = match_clip(&wanted(), "b.mp4", 9, &other) else {
            panic!("taken for the same");
        };
        assert!(sentence.contains("“b.mp4”") && sentence.contains("“low.mp4” (1.23 MB)"));
    }

    #[test]
    fn a_changed_file_of_the_same_name_is_refused() {
        let other = fingerprint(1_234_567, b"begin", b"END");
        let ClipMatch::Different { sentence } = match_clip(&wanted(), "low.mp4", 1_234_567, &other)
        else {
            panic!("taken for the same");
        };
        assert!(sentence.contains("not the file it was"));
    }

    #[test]
    fn the_fingerprint_hangs_on_size_and_both_ends() {
        let of = fingerprint(10, b"a", b"b");
        assert_ne!(of, fingerprint(11, b"a", b"b"));
        assert_ne!(of, fingerprint(10, b"x", b"b"));
        assert_ne!(of, fingerprint(10, b"a", b"x"));
    }
}
