//! The program `site`: builds and serves the site, times the analysis as WASM, compiles the follower for Node.

use site::SiteError;
use site::build::{Workspace, build, build_for_node, time_analysis};
use site::command_line::Command;
use site::serve::Server;
use std::process::ExitCode;

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
    let command = Command::parse(lexopt::Parser::from_env())?;
    let workspace = Workspace::find()?;
    match command {
        Command::Build { profile, out } => {
            let out = out.unwrap_or_else(|| workspace.default_out());
            let bundle = build(&workspace, profile, &out)?;
            println!("Built {} files at {}", bundle.paths().count(), out.display());
        }
        Command::Serve { port, out } => {
            let out = out.unwrap_or_else(|| workspace.default_out());
            let server = Server::start(&out, port)?;
            println!("Stride Ledger is at {}", server.url());
            server.wait();
        }
        Command::Time => time_analysis(&workspace)?,
        Command::Follower => println!("{}", build_for_node(&workspace, "probe")?.display()),
    }
    Ok(())
}
