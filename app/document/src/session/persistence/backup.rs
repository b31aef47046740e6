//! A copy of the newest revision of a session, kept beside the browser's database: a file that detects its own damage.

use super::checksum::hex_sha256;
use super::index::SessionEntry;
use super::revision::Revision;

/// The newest revision of a session with its index entry.
#[derive(Clone, Debug, PartialEq)]
pub struct BackupCopy {
    /// Its entry in the index.
    pub entry: SessionEntry,
    /// Its text.
    pub newest: Revision,
}

/// The text of a backup file: a checksum of the next two lines, the checksum of the text, the index entry, and the text.
#[must_use]
pub fn write_backup(entry: &SessionEntry, newest: &Revision) -> String {
    // All keys of an entry are strings, and nothing else can fail.
    let entry = serde_json::to_string(entry).unwrap_or_default();
    let head = format!("{}\n{entry}\n", newest.sha256);
    format!("{}\n{head}{}", hex_sha256(head.as_bytes()), newest.text)
}

/// The copy in a backup file; none if it is truncated or damaged.
#[must_use]
pub fn read_backup(file: &str) -> Option<BackupCopy> {
    let (sum, rest) = file.split_once('\n')?;
    let (sha256, after) = rest.split_once('\n')?;
    let (entry, text) = after.split_once('\n')?;
    let head = rest.get(..rest.len() - text.len())?;
    let entry: SessionEntry = serde_json::from_str(entry).ok()?;
    let newest =
        Revision { saved_s: entry.saved_s, sha256: sha256.to_owned(), text: text.to_owned() };
    let is_intact = hex_sha256(head.as_bytes()) == sum && newest.is_intact();
    is_intact.then_some(BackupCopy { entry, newest })
}

/// The revisions of the database, newest first, with the backup inserted by its time; of two equal ones the backup,
/// which is intact, stays.
#[must_use]
pub fn with_backup(mut revisions: Vec<Revision>, backup: Option<Revision>) -> Vec<Revision> {
    let Some(backup) = backup else { return revisions };
    revisions.retain(|r| r.sha256 != backup.sha256);
    let position = revisions.iter().position(|r| r.saved_s <= backup.saved_s);
    revisions.insert(position.unwrap_or(revisions.len()), backup);
    revisions
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::file;
    use crate::session::model::Session;

    fn named(name: &str, saved_s: f64) -> BackupCopy {
        let session = Session { name: name.into(), ..Session::empty("a1".into()) };
        let text = file::write(&session);
        let entry = SessionEntry::of(&session, text.len() as u64, saved_s);
        BackupCopy { entry, newest: Revision::new(text, saved_s) }
    }

    #[test]
    fn a_backup_is_read_back_as_written_whatever_it_contains() {
        for name in ["", "plain", "two\nlines", "“quoted”\u{2028}", "\0"] {
            let copy = named(name, 1.5);
            assert_eq!(read_backup(&write_backup(&copy.entry, &copy.newest)), Some(copy));
        }
    }

    #[test]
    fn a_file_that_is_truncated_or_changed_anywhere_is_refused() {
        let copy = named("low", 2.0);
        let whole = write_backup(&copy.entry, &copy.newest);
        for end in 0..whole.len() {
            assert_eq!(read_backup(&whole[..end]), None, "truncated after {end} bytes");
        }
        for at in 0..whole.len() {
            let mut changed = whole.clone().into_bytes();
            changed[at] = if changed[at] == b'7' { b'8' } else { b'7' };
            let changed = String::from_utf8(changed).unwrap();
            assert_eq!(read_backup(&changed), None, "changed at byte {at}");
        }
    }

    #[test]
    fn the_backup_is_ordered_by_time_and_replaces_its_damaged_equal() {
        let [old, middle, new] =
            [("a", 1.0), ("b", 2.0), ("c", 3.0)].map(|(name, at_s)| named(name, at_s).newest);
        let revisions = vec![middle.clone(), old.clone()];
        assert_eq!(with_backup(revisions.clone(), None), revisions);
        assert_eq!(with_backup(revisions.clone(), Some(new.clone()))[0], new);
        assert_eq!(with_backup(revisions.clone(), Some(middle.clone())), revisions);
        assert_eq!(with_backup(vec![new.clone()], Some(old.clone())), [new.clone(), old]);
        let damaged = Revision { text: "no text".into(), ..new.clone() };
        let mended = with_backup(vec![damaged, middle.clone()], Some(new.clone()));
        assert_eq!(mended, [new, middle]);
    }
}
