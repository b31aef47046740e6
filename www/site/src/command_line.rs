//! The commands of the program `site` and their options.

use crate::build::Profile;
use crate::serve::DEFAULT_PORT;
use lexopt::prelude::*;
use std::path::PathBuf;

/// A command with its options.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Command {
    /// Builds the site.
    Build {
        /// How much the compiler optimises.
        profile: Profile,
        /// The folder to write; `None` for the default.
        out: Option<PathBuf>,
    },
    /// Serves the site.
    Serve {
        /// The port.
        port: u16,
        /// The folder to serve; `None` for the default.
        out: Option<PathBuf>,
    },
    /// Times the analysis as WASM.
    Time,
    /// Compiles the follower for Node.
    Follower,
}

impl Command {
    /// Reads the command line.
    ///
    /// # Errors
    /// For a missing or unknown command, an unknown option, and a missing or unreadable value.
    pub fn parse(mut arguments: lexopt::Parser) -> Result<Command, lexopt::Error> {
        let Some(first) = arguments.next()? else {
            return Err(lexopt::Error::MissingValue { option: None });
        };
        match first {
            Value(name) if name == "build" => build(arguments),
            Value(name) if name == "serve" => serve(arguments),
            Value(name) if name == "time" => without_options(arguments, Command::Time),
            Value(name) if name == "follower" => without_options(arguments, Command::Follower),
            other => Err(other.unexpected()),
        }
    }
}

fn build(mut arguments: lexopt::Parser) -> Result<Command, lexopt::Error> {
    let (mut profile, mut out) = (Profile::Release, None);
    while let Some(argument) = arguments.next()? {
        match argument {
            Long("quick") => profile = Profile::Quick,
            Long("out") => out = Some(arguments.value()?.into()),
            other => return Err(other.unexpected()),
        }
    }
    Ok(Command::Build { profile, out })
}

fn serve(mut arguments: lexopt::Parser) -> Result<Command, lexopt::Error> {
    let (mut port, mut out) = (DEFAULT_PORT, None);
    while let Some(argument) = arguments.next()? {
        match argument {
            Long("port") => port = arguments.value()?.parse()?,
            Long("out") => out = Some(arguments.value()?.into()),
            other => return Err(other.unexpected()),
        }
    }
    Ok(Command::Serve { port, out })
}

fn without_options(
    mut arguments: lexopt::Parser,
    command: Command,
) -> Result<Command, lexopt::Error> {
    match arguments.next()? {
        None => Ok(command),
        Some(other) => Err(other.unexpected()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::SiteError;

    fn parse(line: &str) -> Result<Command, lexopt::Error> {
        Command::parse(lexopt::Parser::from_args(line.split_whitespace()))
    }

    #[test]
    fn every_command_has_its_options() {
        let out = || Some(PathBuf::from("there"));
        for (line, expected) in [
            ("build", Command::Build { profile: Profile::Release, out: None }),
            ("build --quick --out there", Command::Build { profile: Profile::Quick, out: out() }),
            ("serve", Command::Serve { port: DEFAULT_PORT, out: None }),
            ("serve --port 9000 --out there", Command::Serve { port: 9000, out: out() }),
            ("time", Command::Time),
            ("follower", Command::Follower),
        ] {
            assert_eq!(parse(line).unwrap(), expected, "{line}");
        }
    }

    #[test]
    fn anything_unknown_or_missing_is_refused_with_a_sentence_and_the_usage() {
        for (line, sentence) in [
            ("", "missing argument"),
            ("bild", "unexpected argument \"bild\""),
            ("--quick", "invalid option '--quick'"),
            ("build --port 1", "invalid option '--port'"),
            ("build there", "unexpected argument \"there\""),
            ("serve --quick", "invalid option '--quick'"),
            ("serve --port", "missing argument for option '--port'"),
            ("serve --port x", "cannot parse argument \"x\": invalid digit found in string"),
            ("time --out there", "invalid option '--out'"),
            ("follower now", "unexpected argument \"now\""),
        ] {
            let error = SiteError::from(parse(line).unwrap_err()).to_string();
            let (what, usage) = error.split_once('\n').unwrap();
            assert_eq!(what, sentence, "{line}");
            assert_eq!(
                usage,
                "usage: site build [--quick] [--out DIR] | site serve [--port N] [--out DIR] | site time | site follower"
            );
        }
    }
}
