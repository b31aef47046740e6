//! Every journey, with the options of `journeys::options`.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

mod accessibility;
mod bad_input;
mod exactness;
mod injection;
mod job;
mod large;
mod saving;
mod second_demuxer;
mod shipped_worker;

use std::process::ExitCode;

fn main() -> ExitCode {
    let files = [
        exactness::all(),
        job::all(),
        saving::all(),
        accessibility::all(),
        injection::all(),
        bad_input::all(),
        second_demuxer::all(),
        shipped_worker::all(),
        large::all(),
    ];
    journeys::harness::run(files.into_iter().flatten().collect())
}
