//! The index of the sessions on the device: what the list shows without opening them.

use crate::session::file::FORMAT;
use crate::session::model::Session;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// A session on the device, as the list shows it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SessionEntry {
    /// Identifier under which it is saved.
    pub id: String,
    /// What a person calls it.
    pub name: String,
    /// The runner's name or code.
    pub runner: String,
    /// Number of trials.
    pub trials: usize,
    /// When it was last saved, since the beginning of 1970 (UTC).
    pub saved_s: f64,
    /// Size of its text.
    pub size_bytes: u64,
    /// Format of its text: one from a newer version is not saved over.
    pub format: u64,
    /// Fingerprints of its clips.
    pub clips: BTreeSet<String>,
}

impl SessionEntry {
    /// The entry of a session whose text has this size.
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

/// The clips of the deleted sessions that no remaining session uses.
#[must_use]
pub fn orphans(deleted: &[SessionEntry], remaining: &[SessionEntry]) -> BTreeSet<String> {
    let used: BTreeSet<&String> = remaining.iter().flat_map(|e| &e.clips).collect();
    deleted.iter().flat_map(|e| &e.clips).filter(|c| !used.contains(c)).cloned().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with_clips(clips: &[&str]) -> SessionEntry {
        let clips = clips.iter().map(|c| (*c).to_owned()).collect();
        SessionEntry { clips, ..SessionEntry::of(&Session::empty("a1".into()), 1, 0.0) }
    }

    #[test]
    fn a_clip_is_an_orphan_when_no_remaining_session_uses_it() {
        let deleted = [with_clips(&["a", "b"]), with_clips(&["c"])];
        let remaining = [with_clips(&["b", "d"])];
        let expected = BTreeSet::from(["a".to_owned(), "c".to_owned()]);
        assert_eq!(orphans(&deleted, &remaining), expected);
    }
}
