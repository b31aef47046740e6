//! Makes the demonstration clips again: `cargo run -p demo-clips`.

use demo_clips::output::{Options, generate};
use std::process::ExitCode;

fn main() -> ExitCode {
    let made = Options::read(std::env::args().skip(1)).and_then(|options| {
        let truths = generate(&options)?;
        Ok((options, truths))
    });
    match made {
        Ok((options, truths)) => {
            for truth in truths {
                println!("{}: {} frames in {}", truth.clip, truth.frames, options.out.display());
            }
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}
