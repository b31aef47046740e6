//! Searches for hostile input: `fuzz container --seconds 1800`, or several targets in turn, or all of them without a name.

use fuzz::Target;
use fuzz::guided::{Guided, SearchError};
use fuzz::targets::{TARGETS, find};
use lexopt::prelude::{Long, Short, Value, ValueExt};
use std::process::ExitCode;

/// Chosen: long enough for the code that a few mutations reach.
const USUAL_SECONDS: u32 = 60;

struct Arguments {
    targets: Vec<&'static Target>,
    seconds: u32,
}

fn arguments() -> Result<Arguments, lexopt::Error> {
    let mut arguments = Arguments { targets: Vec::new(), seconds: USUAL_SECONDS };
    let mut parser = lexopt::Parser::from_env();
    while let Some(argument) = parser.next()? {
        match argument {
            Long("seconds") | Short('s') => arguments.seconds = parser.value()?.parse()?,
            Value(name) => {
                let name = name.string()?;
                let names: Vec<&str> = TARGETS.iter().map(|target| target.name).collect();
                let unknown = || format!("no target {name}: choose among {}", names.join(", "));
                arguments.targets.push(find(&name).ok_or_else(unknown)?);
            }
            other => return Err(other.unexpected()),
        }
    }
    if arguments.targets.is_empty() {
        arguments.targets.extend(&TARGETS);
    }
    Ok(arguments)
}

fn search(arguments: &Arguments) -> Result<(), SearchError> {
    let guided = Guided::build()?;
    for target in &arguments.targets {
        let summary = guided.search(target, arguments.seconds)?;
        println!(
            "{}: {} inputs, {} edges, {} inputs in the corpus",
            target.name, summary.executions, summary.edges, summary.corpus
        );
    }
    Ok(())
}

fn main() -> ExitCode {
    let ended = match arguments() {
        Ok(arguments) => search(&arguments).map_err(|error| error.to_string()),
        Err(error) => Err(format!("{error}\nusage: fuzz [TARGET]… [--seconds N]")),
    };
    match ended {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}
