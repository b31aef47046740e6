//! Whether a file is the clip that a session was made with.

use crate::session::clip::ClipRef;

/// How a file relates to the clip that is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClipMatch {
    /// The same clip.
    Same,
    /// The same clip under another name.
    Renamed,
    /// A file of the same name with other content.
    Changed,
    /// Another clip.
    Different,
}

/// Compares the file that was found with the clip that is wanted.
#[must_use]
pub fn match_clip(wanted: &ClipRef, found: &ClipRef) -> ClipMatch {
    let same = (wanted.size_bytes, &wanted.fingerprint) == (found.size_bytes, &found.fingerprint);
    match (same, wanted.name == found.name) {
        (true, true) => ClipMatch::Same,
        (true, false) => ClipMatch::Renamed,
        (false, true) => ClipMatch::Changed,
        (false, false) => ClipMatch::Different,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::clip::ClipInfo;
    use std::rc::Rc;

    fn clip(name: &str, size_bytes: u64, fingerprint: &str) -> ClipRef {
        let info = ClipInfo {
            width_px: 1280,
            height_px: 720,
            codec: String::new(),
            rotation_quarter_turns: 0,
            stamps_s: vec![0.0],
            filmed_rate_hz: None,
        };
        let fingerprint = fingerprint.into();
        ClipRef { name: name.into(), size_bytes, fingerprint, info: Rc::new(info) }
    }

    #[test]
    fn a_clip_is_recognised_under_any_name() {
        let wanted = clip("low.mp4", 1_234_567, "aa");
        assert_eq!(match_clip(&wanted, &wanted), ClipMatch::Same);
        assert_eq!(match_clip(&wanted, &clip("copy.mp4", 1_234_567, "aa")), ClipMatch::Renamed);
    }

    #[test]
    fn another_clip_and_a_changed_file_are_distinguished() {
        let wanted = clip("low.mp4", 1_234_567, "aa");
        assert_eq!(match_clip(&wanted, &clip("b.mp4", 9, "bb")), ClipMatch::Different);
        assert_eq!(match_clip(&wanted, &clip("low.mp4", 1_234_567, "bb")), ClipMatch::Changed);
    }
}
