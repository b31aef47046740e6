//! Generates the demonstration clips: `cargo run -p demo-clips`.

use demo_clips::Error;
use demo_clips::output::{Options, generate};
use std::process::ExitCode;

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("demo-clips: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<(), Error> {
    let options = Options::parse(lexopt::Parser::from_env())?;
    for truth in generate(&options)? {
        println!("{}: {} frames in {}", truth.clip, truth.frames, options.out.display());
    }
    Ok(())
}
