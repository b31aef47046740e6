//! How much a session file would make us hold, counted before anything is held.

use crate::session::validation::{
    MAX_EVENT_EDITS, MAX_FRAMES_IN_ALL, MAX_NOTES_BYTES, MAX_SAMPLES, MAX_TRIALS,
};
use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use std::fmt;

/// Bytes of the longest text but the letters of a track.
const MAX_WORDS_BYTES: usize = MAX_NOTES_BYTES;
/// Values in all: four numbers a position, the times of the frames, those that are repeated and, generously, the rest.
const MAX_VALUES: usize =
    4 * MAX_SAMPLES + 2 * MAX_FRAMES_IN_ALL + 8 * MAX_EVENT_EDITS * MAX_TRIALS + 100_000;

/// Counts of one file. It holds no more than its own fields while the file is read through.
#[derive(Debug, Default)]
pub(super) struct Census {
    values: usize,
    /// Letters of tracks: each becomes a position in memory, even where nothing is known.
    letters: usize,
}

impl Census {
    /// Reads JSON through, keeps nothing, and refuses what is larger than a session can be.
    ///
    /// # Errors
    /// Where the JSON is broken, or larger than a session can be.
    pub(super) fn take(text: &str) -> Result<(), serde_json::Error> {
        let mut census = Self::default();
        let mut reader = serde_json::Deserializer::from_str(text);
        Count { census: &mut census, letters: false }.deserialize(&mut reader)?;
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

/// Counts one value and what is in it.
struct Count<'a> {
    census: &'a mut Census,
    /// Whether it stands where a track has its letters.
    letters: bool,
}

impl<'de> DeserializeSeed<'de> for Count<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<(), D::Error> {
        self.census.value()?;
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
        if !self.letters && text.len() > MAX_WORDS_BYTES {
            return Err(E::custom("a text is longer than a session can have"));
        }
        self.census.letters += if self.letters { text.len() } else { 0 };
        if self.census.letters > MAX_SAMPLES {
            return Err(E::custom("there are more positions than a session can have"));
        }
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        while list.next_element_seed(Count { census: self.census, letters: false })?.is_some() {}
        Ok(())
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        while let Some(letters) = map.next_key_seed(IsLetters)? {
            map.next_value_seed(Count { census: self.census, letters })?;
        }
        Ok(())
    }
}

/// Reads a key: whether a track keeps its letters under it.
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
        if name.len() > MAX_WORDS_BYTES {
            return Err(E::custom("a name is longer than a session can have"));
        }
        Ok(name == "certainty")
    }
}
