//! What the list of sessions on the device knows of each, without opening it.

use crate::session::Session;
use crate::session::file::FORMAT;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// A session on the device, as the list shows it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Kept {
    /// Under which it is kept.
    pub id: String,
    /// What a person calls it.
    pub name: String,
    /// Who runs.
    pub runner: String,
    /// How many trials it has.
    pub trials: usize,
    /// When it was last saved, since the beginning of 1970 (UTC).
    pub saved_s: f64,
    /// Size of its text.
    pub size_bytes: u64,
    /// Format of its text: one from a newer version is not written over.
    pub format: u64,
    /// Fingerprints of its clips.
    pub clips: BTreeSet<String>,
}

impl Kept {
    /// What the list knows of a session whose text has this size.
    #[must_use]
    pub fn of(session: &Session, size_bytes: u64, saved_s: f64) -> Self {
        Self {
            id: session.id.clone(),
            name: session.name.clone(),
            runner: session.runner.label.clone(),
            trials: session.trials.len(),
            saved_s,
            size_bytes,
            format: FORMAT,
            clips: session.trials.iter().map(|t| t.clip.fingerprint.clone()).collect(),
        }
    }
}

/// The clips of `gone` that no session of `rest` has.
#[must_use]
pub fn orphans(gone: &[Kept], rest: &[Kept]) -> BTreeSet<String> {
    let used: BTreeSet<&String> = rest.iter().flat_map(|k| &k.clips).collect();
    gone.iter().flat_map(|k| &k.clips).filter(|c| !used.contains(c)).cloned().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with_clips(clips: &[&str]) -> Kept {
        let clips = clips.iter().map(|c| (*c).to_owned()).collect();
        Kept { clips, ..Kept::of(&Session::empty("a1".into()), 1, 0.0) }
    }

    #[test]
    fn a_clip_is_an_orphan_when_no_other_session_has_it() {
        let gone = [with_clips(&["a", "b"]), with_clips(&["c"])];
        let rest = [with_clips(&["b", "d"])];
        assert_eq!(orphans(&gone, &rest), BTreeSet::from(["a".to_owned(), "c".to_owned()]));
    }
}
