//! The latest revisions of a session's text with their checksums, and the newest undamaged one.

use super::checksum::hex_sha256;
use crate::session::error::Error;
use crate::session::file::{self, Read};

/// Revisions stored of each session. Chosen: the newest may be damaged while it is written, and the one before it by
/// the same fault.
const REVISIONS: usize = 3;

/// One saved text.
#[derive(Clone, Debug, PartialEq)]
pub struct Revision {
    /// When, since the beginning of 1970 (UTC).
    pub saved_s: f64,
    /// SHA-256 of the text, in hexadecimal.
    pub sha256: String,
    /// The text of a session file.
    pub text: String,
}

/// A session recovered from its revisions.
#[derive(Clone, Debug, PartialEq)]
pub struct Recovered {
    /// The content of the revision.
    pub read: Read,
    /// Set if it is not the newest revision, because that is damaged.
    pub older: Option<OlderRevision>,
}

/// The newest revision of a session is damaged, and an older one was read.
#[derive(Clone, Debug, PartialEq)]
pub struct OlderRevision {
    /// Name of the session.
    pub name: String,
    /// How much older it is.
    pub age_s: f64,
}

impl Revision {
    /// A text with its checksum.
    #[must_use]
    pub fn new(text: String, saved_s: f64) -> Self {
        Self { saved_s, sha256: hex_sha256(text.as_bytes()), text }
    }

    /// Whether the text is the one that was saved.
    #[must_use]
    pub fn is_intact(&self) -> bool {
        hex_sha256(self.text.as_bytes()) == self.sha256
    }
}

/// The revisions after another save, newest first.
#[must_use]
pub fn push(revisions: Vec<Revision>, new: Revision) -> Vec<Revision> {
    let older = revisions.into_iter().filter(|r| r.sha256 != new.sha256).take(REVISIONS - 1);
    let older: Vec<_> = older.collect();
    std::iter::once(new).chain(older).collect()
}

/// Reads the newest intact revision of a session of this name; `revisions` are newest first.
///
/// # Errors
/// When there is no revision, every one is damaged, or the newest intact one cannot be read (an older one is not taken
/// then: saving over the newer would lose it).
pub fn recover(name: &str, revisions: &[Revision]) -> Result<Recovered, Error> {
    let newest = revisions.first().ok_or(Error::NothingSaved)?;
    let intact = revisions.iter().find(|r| r.is_intact()).ok_or(Error::AllDamaged)?;
    let read = file::read(name, &intact.text)?;
    let age_s = newest.saved_s - intact.saved_s;
    let older = (intact != newest).then(|| OlderRevision { name: name.to_owned(), age_s });
    Ok(Recovered { read, older })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::error::FileFault;
    use crate::session::model::Session;

    fn named(name: &str) -> Session {
        Session { name: name.into(), ..Session::empty("a1".into()) }
    }

    fn saved(names: &[&str]) -> Vec<Revision> {
        names.iter().zip(0..).fold(Vec::new(), |revisions, (name, i)| {
            push(revisions, Revision::new(file::write(&named(name)), f64::from(i)))
        })
    }

    #[test]
    fn the_three_newest_are_stored_newest_first() {
        let times: Vec<f64> = saved(&["a", "b", "c", "d"]).into_iter().map(|r| r.saved_s).collect();
        assert_eq!(times, [3.0, 2.0, 1.0]);
    }

    #[test]
    fn saving_the_same_text_again_does_not_push_out_older_ones() {
        let times: Vec<f64> = saved(&["a", "b", "b", "b"]).into_iter().map(|r| r.saved_s).collect();
        assert_eq!(times, [3.0, 0.0]);
    }

    #[test]
    fn the_newest_is_recovered_without_a_warning() {
        let recovered = recover("s", &saved(&["a", "b"])).unwrap();
        assert_eq!(recovered.read.session, named("b"));
        assert_eq!(recovered.older, None);
    }

    #[test]
    fn a_damaged_revision_gives_way_to_an_older_one_with_a_warning() {
        let mut all = saved(&["a", "b", "c"]);
        for (damaged, expected, age_s) in [(0, "b", 1.0), (1, "a", 2.0)] {
            all[damaged].text.replace_range(40..41, "#");
            let recovered = recover("s", &all).unwrap();
            assert_eq!(recovered.read.session, named(expected));
            assert_eq!(recovered.older, Some(OlderRevision { name: "s".into(), age_s }));
        }
        all[2].text.clear();
        assert_eq!(recover("s", &all), Err(Error::AllDamaged));
    }

    #[test]
    fn an_intact_revision_that_cannot_be_read_is_not_replaced_by_an_older_one() {
        let mut all = saved(&["a"]);
        let newer = r#"{"format": 9, "made_with": "Stride Ledger 9", "session": 5}"#;
        all = push(all, Revision::new(newer.into(), 9.0));
        let outcome = recover("s", &all);
        let newer = matches!(outcome, Err(Error::File { fault: FileFault::Newer { .. }, .. }));
        assert!(newer, "{outcome:?}");
    }

    #[test]
    fn without_a_revision_there_is_nothing_to_recover() {
        assert_eq!(recover("s", &[]), Err(Error::NothingSaved));
    }
}
