//! Every journey, with the options of `journeys::options`.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

mod accessibility;
mod bad_input;
mod exactness;
mod injection;
mod large;
mod saving;
mod second_demuxer;
mod shipped;
mod workflow;

use std::process::ExitCode;

fn main() -> ExitCode {
    let files = [
        exactness::all(),
        workflow::all(),
        saving::all(),
        accessibility::all(),
        injection::all(),
        bad_input::all(),
        second_demuxer::all(),
        shipped::all(),
        large::all(),
    ];
    journeys::harness::run(files.into_iter().flatten().collect())
}
