//! The program `site`: builds the site, serves what was built, times the analysis as WASM, or makes the follower for Node.

use site::SiteError;
use site::build::{Haste, Place, build, build_for_node, time};
use site::serve::{DEFAULT_PORT, Server};
use std::env;
use std::path::PathBuf;
use std::process::ExitCode;

/// What the command line asks for.
#[derive(Debug, Default)]
struct Options {
    out: Option<PathBuf>,
    port: Option<u16>,
    quick: bool,
}

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("site: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<(), SiteError> {
    let mut words = env::args().skip(1);
    let command = words.next().unwrap_or_default();
    let options = options(words)?;
    let place = Place::find()?;
    let out = options.out.clone().unwrap_or_else(|| place.default_out());
    match (command.as_str(), &options) {
        ("build", Options { port: None, .. }) => {
            let haste = if options.quick { Haste::Quick } else { Haste::Release };
            let bundle = build(&place, haste, &out)?;
            println!("Built {} files at {}", bundle.paths().count(), out.display());
            Ok(())
        }
        ("serve", Options { quick: false, .. }) => {
            let server = Server::start(&out, options.port.unwrap_or(DEFAULT_PORT))?;
            println!("Stride Ledger is at {}", server.url());
            server.wait();
            Ok(())
        }
        ("time", Options { quick: false, port: None, out: None }) => time(&place),
        ("follower", Options { quick: false, port: None, out: None }) => {
            println!("{}", build_for_node(&place, "native_wasm")?.display());
            Ok(())
        }
        _ => Err(SiteError::Usage(format!("not understood: {command}"))),
    }
}

fn options(mut words: impl Iterator<Item = String>) -> Result<Options, SiteError> {
    let mut options = Options::default();
    while let Some(word) = words.next() {
        match word.as_str() {
            "--quick" => options.quick = true,
            "--out" => options.out = Some(value(&word, words.next())?.into()),
            "--port" => {
                let port = value(&word, words.next())?;
                let number =
                    port.parse().map_err(|_| SiteError::Usage(format!("{port} is not a port")))?;
                options.port = Some(number);
            }
            _ => return Err(SiteError::Usage(format!("not understood: {word}"))),
        }
    }
    Ok(options)
}

fn value(name: &str, value: Option<String>) -> Result<String, SiteError> {
    value.ok_or_else(|| SiteError::Usage(format!("{name} needs a value")))
}
