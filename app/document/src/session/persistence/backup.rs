//! A second copy of the newest text of a session, kept beside the browser's database: a file that knows when it is damaged.

use super::revision::hex_sha256;
use super::{Generation, Kept};

/// The newest text of a session with its entry in the list.
#[derive(Clone, Debug, PartialEq)]
pub struct SecondCopy {
    /// What the list knows of it.
    pub kept: Kept,
    /// Its text.
    pub newest: Generation,
}

/// The text of a file: a checksum of the next two lines, the checksum of the text, the entry of the list, and the text.
#[must_use]
pub fn write_copy(kept: &Kept, newest: &Generation) -> String {
    // An entry has only words as names of members, and nothing else can fail.
    let entry = serde_json::to_string(kept).unwrap_or_default();
    let head = format!("{}\n{entry}\n", newest.sha256);
    format!("{}\n{head}{}", hex_sha256(head.as_bytes()), newest.text)
}

/// The copy in a file; none where it is cut off or damaged.
#[must_use]
pub fn read_copy(file: &str) -> Option<SecondCopy> {
    let (sum, rest) = file.split_once('\n')?;
    let (sha256, after) = rest.split_once('\n')?;
    let (entry, text) = after.split_once('\n')?;
    let head = rest.get(..rest.len() - text.len())?;
    let kept: Kept = serde_json::from_str(entry).ok()?;
    let newest =
        Generation { saved_s: kept.saved_s, sha256: sha256.to_owned(), text: text.to_owned() };
    let is_whole = hex_sha256(head.as_bytes()) == sum && newest.is_whole();
    is_whole.then_some(SecondCopy { kept, newest })
}

/// The generations of the database, newest first, with the copy where its time puts it; of two that are equal the copy,
/// which is whole, stays.
#[must_use]
pub fn with_copy(mut generations: Vec<Generation>, copy: Option<Generation>) -> Vec<Generation> {
    let Some(copy) = copy else { return generations };
    generations.retain(|g| g.sha256 != copy.sha256);
    let place = generations.iter().position(|g| g.saved_s <= copy.saved_s);
    generations.insert(place.unwrap_or(generations.len()), copy);
    generations
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::Session;
    use crate::session::file;

    fn named(name: &str, saved_s: f64) -> (Kept, Generation) {
        let session = Session { name: name.into(), ..Session::empty("a1".into()) };
        let text = file::write(&session);
        let kept = Kept::of(&session, text.len() as u64, saved_s);
        (kept, Generation::new(text, saved_s))
    }

    #[test]
    fn what_is_written_is_read_again_whatever_stands_in_it() {
        for name in ["", "plain", "two\nlines", "“quoted”\u{2028}", "\0"] {
            let (kept, newest) = named(name, 1.5);
            let read = read_copy(&write_copy(&kept, &newest));
            assert_eq!(read, Some(SecondCopy { kept, newest }));
        }
    }

    #[test]
    fn a_file_that_is_cut_off_or_changed_anywhere_is_none() {
        let (kept, newest) = named("low", 2.0);
        let whole = write_copy(&kept, &newest);
        for end in 0..whole.len() {
            assert_eq!(read_copy(&whole[..end]), None, "cut off after {end} bytes");
        }
        for at in 0..whole.len() {
            let mut changed = whole.clone().into_bytes();
            changed[at] = if changed[at] == b'7' { b'8' } else { b'7' };
            let changed = String::from_utf8(changed).unwrap();
            assert_eq!(read_copy(&changed), None, "changed at byte {at}");
        }
    }

    #[test]
    fn the_copy_takes_its_place_by_time_and_stands_for_its_damaged_equal() {
        let [(_, old), (_, middle), (_, new)] = [named("a", 1.0), named("b", 2.0), named("c", 3.0)];
        let kept = vec![middle.clone(), old.clone()];
        assert_eq!(with_copy(kept.clone(), None), kept);
        assert_eq!(with_copy(kept.clone(), Some(new.clone()))[0], new);
        assert_eq!(with_copy(kept.clone(), Some(middle.clone())), kept);
        assert_eq!(with_copy(vec![new.clone()], Some(old.clone())), [new.clone(), old]);
        let damaged = Generation { text: "no text".into(), ..new.clone() };
        assert_eq!(with_copy(vec![damaged, middle.clone()], Some(new.clone())), [new, middle]);
    }
}
