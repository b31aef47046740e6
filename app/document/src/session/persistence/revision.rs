//! The last few texts of a session with their checksums, and the newest of them that is whole.

use crate::session::file::{self, FileError, Read};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use thiserror::Error;

/// How many texts of a session are kept.
pub const GENERATIONS: usize = 3;

/// One saved text.
#[derive(Clone, Debug, PartialEq)]
pub struct Generation {
    /// When, since the beginning of 1970 (UTC).
    pub saved_s: f64,
    /// SHA-256 of the text, in hexadecimal.
    pub sha256: String,
    /// The text of a session file.
    pub text: String,
}

/// A session found again.
#[derive(Clone, Debug, PartialEq)]
pub struct Recovered {
    /// What was read.
    pub read: Read,
    /// A sentence to show where it is not the text saved last.
    pub warning: Option<String>,
}

/// None of the texts can be used.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum Unrecovered {
    /// Nothing is kept under this name.
    #[error("this session is no longer on this device: open it from a saved session file")]
    Gone,
    /// Every text is damaged.
    #[error("what is kept of this session is damaged: open it from a saved session file")]
    Damaged,
    /// The newest whole text cannot be read.
    #[error("{0}")]
    Unreadable(#[from] FileError),
}

impl Generation {
    /// A text with its checksum.
    #[must_use]
    pub fn new(text: String, saved_s: f64) -> Self {
        Self { saved_s, sha256: hex_sha256(text.as_bytes()), text }
    }

    /// Whether the text is the one that was saved.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        hex_sha256(self.text.as_bytes()) == self.sha256
    }
}

/// The generations, newest first, after another save.
#[must_use]
pub fn push(kept: Vec<Generation>, new: Generation) -> Vec<Generation> {
    let older = kept.into_iter().filter(|g| g.sha256 != new.sha256).take(GENERATIONS - 1);
    let older: Vec<_> = older.collect();
    std::iter::once(new).chain(older).collect()
}

/// The newest whole text of a session of this name, read. The generations are given newest first.
///
/// # Errors
/// When nothing is kept, everything is damaged, or the newest whole text is not readable (then no
/// older one is taken: saving over it would lose it).
pub fn recover(name: &str, kept: &[Generation]) -> Result<Recovered, Unrecovered> {
    let newest = kept.first().ok_or(Unrecovered::Gone)?;
    let whole = kept.iter().find(|g| g.is_whole()).ok_or(Unrecovered::Damaged)?;
    let read = file::read(name, &whole.text)?;
    let lost_s = newest.saved_s - whole.saved_s;
    let warning = (whole != newest).then(|| {
        format!(
            "what was saved last of “{name}” is damaged, so this is the save before it, {lost_s:.0} s older: check the last changes"
        )
    });
    Ok(Recovered { read, warning })
}

pub(super) fn hex_sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::with_capacity(64), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::Session;

    fn named(name: &str) -> Session {
        Session { name: name.into(), ..Session::empty("a1".into()) }
    }

    fn kept(names: &[&str]) -> Vec<Generation> {
        names.iter().zip(0..).fold(Vec::new(), |kept, (name, i)| {
            push(kept, Generation::new(file::write(&named(name)), f64::from(i)))
        })
    }

    #[test]
    fn the_three_newest_are_kept_newest_first() {
        let texts: Vec<f64> = kept(&["a", "b", "c", "d"]).into_iter().map(|g| g.saved_s).collect();
        assert_eq!(texts, [3.0, 2.0, 1.0]);
    }

    #[test]
    fn saving_the_same_again_does_not_push_out_what_is_older() {
        let texts: Vec<f64> = kept(&["a", "b", "b", "b"]).into_iter().map(|g| g.saved_s).collect();
        assert_eq!(texts, [3.0, 0.0]);
    }

    #[test]
    fn the_newest_is_recovered_without_a_warning() {
        let found = recover("s", &kept(&["a", "b"])).unwrap();
        assert_eq!(found.read.session, named("b"));
        assert_eq!(found.warning, None);
    }

    #[test]
    fn a_damaged_text_gives_way_to_the_one_before_and_it_is_said() {
        let mut all = kept(&["a", "b", "c"]);
        for (damaged, expected) in [(0, "b"), (1, "a")] {
            all[damaged].text.replace_range(40..41, "#");
            let found = recover("s", &all).unwrap();
            assert_eq!(found.read.session, named(expected));
            assert!(found.warning.unwrap().contains("damaged"));
        }
        all[2].text.clear();
        assert_eq!(recover("s", &all), Err(Unrecovered::Damaged));
    }

    #[test]
    fn a_whole_text_that_cannot_be_read_is_not_replaced_by_an_older_one() {
        let mut all = kept(&["a"]);
        let newer = r#"{"format": 9, "made_with": "Stride Ledger 9", "session": 5}"#;
        all = push(all, Generation::new(newer.into(), 9.0));
        assert!(matches!(
            recover("s", &all),
            Err(Unrecovered::Unreadable(FileError::Newer { .. }))
        ));
    }

    #[test]
    fn nothing_kept_is_said() {
        assert_eq!(recover("s", &[]), Err(Unrecovered::Gone));
    }

    /// Source: FIPS 180-2, appendix B.1, the message "abc".
    #[test]
    fn the_checksum_is_sha_256() {
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(hex_sha256(b"abc"), expected);
    }
}
