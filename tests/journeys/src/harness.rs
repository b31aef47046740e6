//! The test harness: named journeys, two at a time, those that measure alone and last.

use crate::browser::close_idle_browsers;
use crate::options::{self, HELP};
use libtest_mimic::{Arguments, Trial};
use std::cell::Cell;
use std::ffi::OsString;
use std::process::ExitCode;

/// The kind of a journey that prints how long something took.
const TIMED: &str = "timed";

thread_local! {
    static NAME: Cell<&'static str> = const { Cell::new("journey") };
}

/// A journey of the harness.
#[must_use]
pub fn trial(name: &'static str, run: fn()) -> Trial {
    Trial::test(name, move || {
        NAME.set(name);
        run();
        Ok(())
    })
}

/// A journey that measures, so that no other runs beside it.
#[must_use]
pub fn timed(name: &'static str, run: fn()) -> Trial {
    trial(name, run).with_kind(TIMED)
}

/// The name of the journey that this thread runs.
#[must_use]
pub fn current() -> &'static str {
    NAME.get()
}

/// The named functions of a module as journeys of a group.
#[macro_export]
macro_rules! trials {
    ($group:literal: $($name:ident),+ $(,)?) => {
        vec![$($crate::harness::trial(concat!($group, "::", stringify!($name)), $name)),+]
    };
}

/// The same for journeys that measure.
#[macro_export]
macro_rules! timed_trials {
    ($group:literal: $($name:ident),+ $(,)?) => {
        vec![$($crate::harness::timed(concat!($group, "::", stringify!($name)), $name)),+]
    };
}

/// Runs the journeys that the command line asks for.
#[must_use]
pub fn run(mut trials: Vec<Trial>) -> ExitCode {
    let arguments: Vec<OsString> = std::env::args_os().skip(1).collect();
    if arguments.iter().any(|a| a == "--help" || a == "-h") {
        println!("{HELP}");
    }
    let (options, rest) = match options::parse(arguments) {
        Ok(parsed) => parsed,
        Err(error) => {
            eprintln!("journeys: {error}\n\n{HELP}");
            return ExitCode::FAILURE;
        }
    };
    options::set(options);
    let program = std::iter::once(OsString::from("journeys"));
    let arguments = Arguments::from_iter(program.chain(rest));
    trials.sort_by_key(|t| t.kind() == TIMED);
    let conclusion = libtest_mimic::run(&arguments, trials);
    close_idle_browsers();
    conclusion.exit_code()
}
