//! The options of the generator.

use super::Variety;
use crate::Error;
use crate::film::Handling;
use std::ops::RangeInclusive;
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
    /// How long the shutter of a clip for measuring is open; drawn from the seed where it is not told.
    pub shutter_s: Option<f64>,
    /// What is chosen of one clip for measuring; nothing for the two clips of the demonstration.
    pub varied: Option<Variety>,
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
            shutter_s: None,
            varied: None,
            truth_only: false,
            out: PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/clips")),
        }
    }
}

impl Options {
    /// Reads the command line. With `varied` as its first word one clip for measuring is made.
    ///
    /// # Errors
    /// When a word is unknown, its value is missing or none of those it can have, the rate is not
    /// between 10 and 500, the length is not between a tenth of a second and a minute, or the shutter is not open
    /// between a tenth of a millisecond and a twentieth of a second.
    pub fn read(words: impl Iterator<Item = String>) -> Result<Self, Error> {
        let mut options = Self::default();
        let mut variety = Variety { handling: Handling::Still, crossing: false };
        let mut words = words.peekable();
        let varied = words.next_if(|word| word == "varied").is_some();
        let mut told_s = None;
        while let Some(word) = words.next() {
            match word.as_str() {
                "--no-stickers" => options.stickers = false,
                "--truth-only" => options.truth_only = true,
                _ => {
                    let value = words.next();
                    let value = value.ok_or_else(|| needs(&word, "a value that is missing"))?;
                    match (word.as_str(), varied) {
                        ("--out", _) => options.out = PathBuf::from(value),
                        ("--seed", _) => {
                            options.seed =
                                value.parse().map_err(|_| needs(&word, "a whole number"))?;
                        }
                        ("--rate", _) => options.rate_hz = number(&word, &value, 10.0..=500.0)?,
                        ("--seconds", true) => told_s = Some(number(&word, &value, 0.1..=60.0)?),
                        ("--shutter", true) => {
                            options.shutter_s = Some(number(&word, &value, 0.000_1..=0.05)?);
                        }
                        ("--stickers", true) => {
                            options.stickers =
                                choice(&word, &value, &[("yes", true), ("no", false)])?;
                        }
                        ("--camera", true) => variety.handling = choice(&word, &value, &HANDLINGS)?,
                        ("--course", true) => {
                            let courses = [("belt", false), ("crossing", true)];
                            variety.crossing = choice(&word, &value, &courses)?;
                        }
                        _ => return Err(Error::Option(format!("{word:?} is unknown"))),
                    }
                }
            }
        }
        if varied {
            options.length_s = told_s.unwrap_or_else(|| variety.length_s());
            options.varied = Some(variety);
        }
        Ok(options)
    }

    /// How many frames a clip has.
    #[must_use]
    pub fn frames(&self) -> usize {
        (self.rate_hz * self.length_s).round() as usize
    }
}

const HANDLINGS: [(&str, Handling); 3] =
    [("still", Handling::Still), ("panned", Handling::Panned), ("hand-held", Handling::HandHeld)];

fn needs(word: &str, what: &str) -> Error {
    Error::Option(format!("{word} needs {what}"))
}

fn number(word: &str, value: &str, range: RangeInclusive<f64>) -> Result<f64, Error> {
    let parsed = value.parse().ok().filter(|number| range.contains(number));
    let (low, high) = (range.start(), range.end());
    parsed.ok_or_else(|| needs(word, &format!("a number from {low} to {high}")))
}

fn choice<T: Copy>(word: &str, value: &str, choices: &[(&str, T)]) -> Result<T, Error> {
    let found = choices.iter().find(|(name, _)| *name == value);
    let names: Vec<&str> = choices.iter().map(|(name, _)| *name).collect();
    found.map(|(_, choice)| *choice).ok_or_else(|| needs(word, &names.join(" or ")))
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
    fn a_clip_for_measuring_has_its_own_words() {
        let line = "varied --seed 7 --rate 30 --stickers no --camera hand-held --course crossing";
        let options = read(line).unwrap();
        let variety = Variety { handling: Handling::HandHeld, crossing: true };
        assert_eq!((options.varied, options.stickers), (Some(variety), false));
        assert_eq!(options.frames(), 45);
        assert_eq!(read("varied --seconds 2.5 --rate 60").unwrap().frames(), 150);
        assert_eq!(read("varied --shutter 0.008").unwrap().shutter_s, Some(0.008));
        assert_eq!(read("--rate 60").unwrap().varied, None);
    }

    #[test]
    fn what_is_unknown_missing_or_out_of_range_is_refused() {
        for line in [
            "--speed 3",
            "--seed",
            "--seed x",
            "--rate 0",
            "--rate NaN",
            "--camera still",
            "--shutter 1",
        ] {
            assert!(read(line).is_err(), "{line}");
            assert!(read(&format!("varied {line} x")).is_err(), "{line}");
        }
    }
}
