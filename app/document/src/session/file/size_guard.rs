//! Counts how much memory a session file would take, before any of it is stored.

use crate::session::invalid::{
    MAX_EVENT_EDITS, MAX_FRAMES_IN_ALL, MAX_NOTES_BYTES, MAX_SAMPLES, MAX_TRIALS,
};
use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use std::fmt;

/// Bytes of the longest text, other than the certainty letters of a track. Exact: the notes are the longest.
const MAX_TEXT_BYTES: usize = MAX_NOTES_BYTES;
/// JSON values of a file. Chosen: four numbers a position, the times of the frames, the repeated frames and,
/// generously, the rest.
const MAX_VALUES: usize =
    4 * MAX_SAMPLES + 2 * MAX_FRAMES_IN_ALL + 8 * MAX_EVENT_EDITS * MAX_TRIALS + 100_000;

/// Counts of one file. It stores nothing but its own fields while it reads the file.
#[derive(Debug, Default)]
pub(super) struct SizeGuard {
    values: usize,
    /// Certainty letters of tracks: each takes the memory of a position, even if none is known.
    letters: usize,
}

impl SizeGuard {
    /// Reads the JSON, stores nothing, and refuses what is larger than a session can be.
    ///
    /// # Errors
    /// When the JSON is broken, or larger than a session can be.
    pub(super) fn check(text: &str) -> Result<(), serde_json::Error> {
        let mut guard = Self::default();
        let mut reader = serde_json::Deserializer::from_str(text);
        Count { guard: &mut guard, letters: false }.deserialize(&mut reader)?;
        reader.end()
    }

    fn value<E: Error>(&mut self) -> Result<(), E> {
        self.values += 1;
        if self.values > MAX_VALUES {
            return Err(E::custom("there are more numbers than a session can have"));
        }
        Ok(())
    }
}

/// Counts one value and its content.
struct Count<'a> {
    guard: &'a mut SizeGuard,
    /// Whether it is the certainty letters of a track.
    letters: bool,
}

impl<'de> DeserializeSeed<'de> for Count<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<(), D::Error> {
        self.guard.value()?;
        reader.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Count<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("any JSON")
    }

    fn visit_bool<E: Error>(self, _: bool) -> Result<(), E> {
        Ok(())
    }

    fn visit_i64<E: Error>(self, _: i64) -> Result<(), E> {
        Ok(())
    }

    fn visit_u64<E: Error>(self, _: u64) -> Result<(), E> {
        Ok(())
    }

    fn visit_f64<E: Error>(self, _: f64) -> Result<(), E> {
        Ok(())
    }

    fn visit_unit<E: Error>(self) -> Result<(), E> {
        Ok(())
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<(), E> {
        if !self.letters && text.len() > MAX_TEXT_BYTES {
            return Err(E::custom("a text is longer than a session can have"));
        }
        self.guard.letters += if self.letters { text.len() } else { 0 };
        if self.guard.letters > MAX_SAMPLES {
            return Err(E::custom("there are more positions than a session can have"));
        }
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        while list.next_element_seed(Count { guard: self.guard, letters: false })?.is_some() {}
        Ok(())
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        while let Some(letters) = map.next_key_seed(IsLetters)? {
            map.next_value_seed(Count { guard: self.guard, letters })?;
        }
        Ok(())
    }
}

/// Reads a key: whether its value is the certainty letters of a track.
struct IsLetters;

impl<'de> DeserializeSeed<'de> for IsLetters {
    type Value = bool;

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<bool, D::Error> {
        reader.deserialize_str(self)
    }
}

impl Visitor<'_> for IsLetters {
    type Value = bool;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a name")
    }

    fn visit_str<E: Error>(self, name: &str) -> Result<bool, E> {
        if name.len() > MAX_TEXT_BYTES {
            return Err(E::custom("a name is longer than a session can have"));
        }
        Ok(name == "certainty")
    }
}
