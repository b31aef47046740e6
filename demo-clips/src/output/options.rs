//! The options of the generator.

use crate::Error;
use std::path::PathBuf;

/// What is asked for; the defaults make the committed clips.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// 0 for the committed clips; any other number varies runner, hall, noise and roll.
    pub seed: u64,
    /// Frames per second.
    pub rate_hz: f64,
    /// Length of a clip.
    pub length_s: f64,
    /// Whether the near landmarks carry stickers.
    pub stickers: bool,
    /// Whether only the truth is written and no picture is made.
    pub truth_only: bool,
    /// The folder to write to.
    pub out: PathBuf,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            seed: 0,
            rate_hz: 120.0,
            length_s: 5.0,
            stickers: true,
            truth_only: false,
            out: PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/clips")),
        }
    }
}

impl Options {
    /// Reads the command line.
    ///
    /// # Errors
    /// When a word is unknown, its number is missing, or the rate is not between 10 and 500.
    pub fn read(words: impl Iterator<Item = String>) -> Result<Self, Error> {
        let mut options = Self::default();
        let mut words = words;
        while let Some(word) = words.next() {
            let mut next =
                || words.next().ok_or_else(|| Error::Option(format!("{word} needs a value")));
            let wrong = |value: &str| Error::Option(format!("{value:?} is not a number to use"));
            match word.as_str() {
                "--no-stickers" => options.stickers = false,
                "--truth-only" => options.truth_only = true,
                "--out" => options.out = PathBuf::from(next()?),
                "--seed" => {
                    let value = next()?;
                    options.seed = value.parse().map_err(|_| wrong(&value))?;
                }
                "--rate" => {
                    let value = next()?;
                    let rate_hz: f64 = value.parse().map_err(|_| wrong(&value))?;
                    if !(10.0..=500.0).contains(&rate_hz) {
                        return Err(wrong(&value));
                    }
                    options.rate_hz = rate_hz;
                }
                _ => return Err(Error::Option(format!("{word:?} is unknown"))),
            }
        }
        Ok(options)
    }

    /// How many frames a clip has.
    #[must_use]
    pub fn frames(&self) -> usize {
        (self.rate_hz * self.length_s).round() as usize
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> Result<Options, Error> {
        Options::read(line.split_whitespace().map(String::from))
    }

    #[test]
    fn a_full_line_is_read() {
        let options = read("--seed 3 --rate 60 --no-stickers --out there").unwrap();
        assert_eq!((options.seed, options.frames(), options.stickers), (3, 300, false));
        assert_eq!(options.out, PathBuf::from("there"));
    }

    #[test]
    fn what_is_unknown_missing_or_out_of_range_is_refused() {
        for line in ["--speed 3", "--seed", "--seed x", "--rate 0", "--rate NaN"] {
            assert!(read(line).is_err(), "{line}");
        }
    }
}
