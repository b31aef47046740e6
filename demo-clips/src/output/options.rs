//! The options of the generator.

use super::variety::Variety;
use crate::Error;
use crate::film::Handling;
use lexopt::prelude::*;
use std::ops::RangeInclusive;
use std::path::PathBuf;

/// Chosen: from a slow camera to a high-speed one.
const RATES_HZ: RangeInclusive<f64> = 10.0..=500.0;
/// Chosen: a tenth of a second to a minute.
const LENGTHS_S: RangeInclusive<f64> = 0.1..=60.0;
/// Chosen: a tenth of a millisecond to a twentieth of a second.
const SHUTTERS_S: RangeInclusive<f64> = 0.000_1..=0.05;

const STICKERS: [(&str, bool); 2] = [("yes", true), ("no", false)];
const HANDLINGS: [(&str, Handling); 3] =
    [("still", Handling::Still), ("panned", Handling::Panned), ("hand-held", Handling::HandHeld)];
/// Whether the runner crosses the hall.
const COURSES: [(&str, bool); 2] = [("belt", false), ("crossing", true)];

/// What to generate; the defaults give the committed clips.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// 0 for the committed clips; any other seed varies runner, hall, noise and roll.
    pub seed: u64,
    /// Frames per second.
    pub rate_hz: f64,
    /// Length of a clip.
    pub length_s: f64,
    /// Whether the near landmarks carry stickers.
    pub stickers: bool,
    /// Exposure time of a clip for measuring; `None` draws it from the seed.
    pub shutter_s: Option<f64>,
    /// The choices of one clip for measuring; `None` generates the two clips of the demonstration.
    pub varied: Option<Variety>,
    /// Whether only the ground truth is written.
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
    /// Reads the command line; `varied` as its first word asks for one clip for measuring.
    ///
    /// # Errors
    /// [`Error::CommandLine`] for an unknown option and a missing or unreadable value, [`Error::Range`] for a rate
    /// outside 10 to 500 Hz, a length outside 0.1 to 60 s or an exposure outside 0.1 to 50 ms,
    /// [`Error::Choice`] for a value that is not one of the choices.
    pub fn parse(mut arguments: lexopt::Parser) -> Result<Self, Error> {
        let mut options = Self::default();
        let mut variety = Variety { handling: Handling::Still, crossing: false };
        let (mut varied, mut is_first, mut length_s) = (false, true, None);
        while let Some(argument) = arguments.next()? {
            match argument {
                Value(word) if is_first && word == "varied" => varied = true,
                Long("seed") => options.seed = arguments.value()?.parse()?,
                Long("rate") => options.rate_hz = number(&mut arguments, "--rate", RATES_HZ)?,
                Long("no-stickers") => options.stickers = false,
                Long("truth-only") => options.truth_only = true,
                Long("out") => options.out = arguments.value()?.into(),
                Long("seconds") if varied => {
                    length_s = Some(number(&mut arguments, "--seconds", LENGTHS_S)?);
                }
                Long("shutter") if varied => {
                    options.shutter_s = Some(number(&mut arguments, "--shutter", SHUTTERS_S)?);
                }
                Long("stickers") if varied => {
                    options.stickers = choice(&mut arguments, "--stickers", STICKERS)?;
                }
                Long("camera") if varied => {
                    variety.handling = choice(&mut arguments, "--camera", HANDLINGS)?;
                }
                Long("course") if varied => {
                    variety.crossing = choice(&mut arguments, "--course", COURSES)?;
                }
                other => return Err(other.unexpected().into()),
            }
            is_first = false;
        }
        if varied {
            options.length_s = length_s.unwrap_or_else(|| variety.length_s());
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

/// The value of an option as a number within a range.
fn number(
    arguments: &mut lexopt::Parser,
    option: &'static str,
    range: RangeInclusive<f64>,
) -> Result<f64, Error> {
    let value: f64 = arguments.value()?.parse()?;
    if range.contains(&value) {
        Ok(value)
    } else {
        let allowed = format!("from {} to {}", range.start(), range.end());
        Err(Error::Range { option, allowed })
    }
}

/// The value of an option as one of its choices.
fn choice<T: Copy, const N: usize>(
    arguments: &mut lexopt::Parser,
    option: &'static str,
    choices: [(&'static str, T); N],
) -> Result<T, Error> {
    let value = arguments.value()?;
    match choices.iter().find(|(name, _)| value == *name) {
        Some((_, choice)) => Ok(*choice),
        None => Err(Error::Choice { option, choices: choices.map(|(name, _)| name).to_vec() }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(line: &str) -> Result<Options, Error> {
        Options::parse(lexopt::Parser::from_args(line.split_whitespace()))
    }

    #[test]
    fn options_of_the_demonstration_are_read() {
        let options = parse("--seed 3 --rate 60 --no-stickers --out there").unwrap();
        assert_eq!((options.seed, options.frames(), options.stickers), (3, 300, false));
        assert_eq!(options.out, PathBuf::from("there"));
    }

    #[test]
    fn options_of_a_clip_for_measuring_are_read() {
        let line = "varied --seed 7 --rate 30 --stickers no --camera hand-held --course crossing";
        let options = parse(line).unwrap();
        let variety = Variety { handling: Handling::HandHeld, crossing: true };
        assert_eq!((options.varied, options.stickers), (Some(variety), false));
        assert_eq!(options.frames(), 45);
        assert_eq!(parse("varied --seconds 2.5 --rate 60").unwrap().frames(), 150);
        assert_eq!(parse("varied --shutter 0.008").unwrap().shutter_s, Some(0.008));
        assert_eq!(parse("--rate 60").unwrap().varied, None);
    }

    #[test]
    fn an_unknown_missing_or_unreadable_word_is_refused() {
        for line in [
            "--speed 3",
            "--seed",
            "--seed x",
            "--rate 0",
            "--rate NaN",
            "--camera still",
            "--shutter 1",
            "--seed 1 varied",
        ] {
            assert!(parse(line).is_err(), "{line}");
            assert!(parse(&format!("varied {line} x")).is_err(), "{line}");
        }
    }

    #[test]
    fn a_refusal_says_what_is_wrong() {
        for (line, sentence) in [
            ("--speed 3", "invalid option '--speed'"),
            ("varied --rate 600", "--rate needs a number from 10 to 500"),
            ("varied --camera up", "--camera needs still or panned or hand-held"),
            ("--course belt", "invalid option '--course'"),
        ] {
            let error = parse(line).unwrap_err().to_string();
            assert_eq!(error.lines().next(), Some(sentence), "{line}");
        }
    }
}
