//! What a run of the journeys is asked for on its command line.

use crate::browser::Engine;
use lexopt::prelude::*;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// The options of this package; those of the test harness stand beside them.
pub const HELP: &str = "\
Journeys through the page in a real browser.

usage: cargo test -p journeys --test journeys -- [OPTIONS] [FILTER]

  --site DIR           the built site; without it no journey runs
  --engine NAME        chromium (the default), firefox or webkit
  --kind NAME          exactness: only the kinds of clip whose name holds NAME
  --pulls COUNT        exactness: drag the slider until COUNT frames were read
  --kills COUNT        saving: kill the tab COUNT times (20)
  --moving DIR         panning: measure the runner before a panning camera whose clip DIR holds
  --large DIR          large: make a clip of 2 GB in DIR (needs 5 GB) and measure it
  --soak-minutes N     large: play and seek for N minutes (10)
  --record             write the measured tables into tests/MEASUREMENTS.md

Directories are relative to the top of the project. Options of the harness:
";

/// The options of a run.
#[derive(Clone, Debug)]
pub struct Options {
    /// The folder of the built site.
    pub site: Option<PathBuf>,
    /// The browser.
    pub engine: Engine,
    /// Part of the name of the only kinds of clip to prove.
    pub kind: Option<String>,
    /// Frames to read back while the slider is dragged to and fro.
    pub pulls: Option<usize>,
    /// Tabs to kill while they save.
    pub kills: u32,
    /// The folder of a drawn clip of a panning camera.
    pub moving: Option<PathBuf>,
    /// The folder for the clip of 2 GB.
    pub large: Option<PathBuf>,
    /// Minutes of playing and seeking in it.
    pub soak_minutes: f64,
    /// Whether the measured tables are written down.
    pub record: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            site: None,
            engine: Engine::Chromium,
            kind: None,
            pulls: None,
            kills: 20,
            moving: None,
            large: None,
            soak_minutes: 10.0,
            record: false,
        }
    }
}

static OPTIONS: OnceLock<Options> = OnceLock::new();

/// The options of this run; the defaults until they are set.
pub fn options() -> &'static Options {
    OPTIONS.get_or_init(Options::default)
}

/// Sets the options, once and before any journey runs.
pub fn set(options: Options) {
    // A second call would change nothing; the harness calls once.
    let _ = OPTIONS.set(options);
}

/// The top of the project.
#[must_use]
pub fn project_root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).map(Path::to_path_buf).unwrap_or_default()
}

/// The folder of clips of known truth beside the project.
#[must_use]
pub fn clips_beside() -> PathBuf {
    project_root().join("../shared/clips")
}

/// Reads the command line; answers the options and the arguments that are the harness's.
///
/// # Errors
/// When the value of an option is missing or impossible.
pub fn parse(
    arguments: impl IntoIterator<Item = OsString>,
) -> Result<(Options, Vec<OsString>), lexopt::Error> {
    let mut parser = lexopt::Parser::from_args(arguments);
    let (mut options, mut rest) = (Options::default(), Vec::new());
    let folder = |value: OsString| project_root().join(value);
    while let Some(argument) = parser.next()? {
        match argument {
            Long("site") => options.site = Some(folder(parser.value()?)),
            Long("engine") => options.engine = parser.value()?.parse()?,
            Long("kind") => options.kind = Some(parser.value()?.string()?),
            Long("pulls") => options.pulls = Some(parser.value()?.parse()?),
            Long("kills") => options.kills = parser.value()?.parse()?,
            Long("moving") => options.moving = Some(folder(parser.value()?)),
            Long("large") => options.large = Some(folder(parser.value()?)),
            Long("soak-minutes") => options.soak_minutes = parser.value()?.parse()?,
            Long("record") => options.record = true,
            Long(other) => {
                let name = format!("--{other}");
                let value = parser.optional_value();
                rest.push(match value {
                    Some(value) => format!("{name}={}", value.string()?).into(),
                    None => name.into(),
                });
            }
            Short(letter) => rest.push(format!("-{letter}").into()),
            Value(value) => rest.push(value),
        }
    }
    Ok((options, rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parsed(line: &str) -> Result<(Options, Vec<OsString>), lexopt::Error> {
        parse(line.split(' ').map(OsString::from))
    }

    #[test]
    fn own_options_are_taken_and_the_rest_is_the_harness_s() {
        let (options, rest) =
            parsed("--engine firefox walker --test-threads 1 --kills=3 -q").unwrap();
        assert_eq!((options.engine, options.kills), (Engine::Firefox, 3));
        assert_eq!(rest, ["walker", "--test-threads", "1", "-q"]);
    }

    #[test]
    fn an_unknown_engine_and_a_missing_value_are_refused() {
        assert!(parsed("--engine netscape").is_err());
        assert!(parsed("--kills").is_err());
        assert!(parsed("--pulls many").is_err());
    }
}
