//! Runs other programs.

use crate::SiteError;
use std::path::Path;
use std::process::Command;

/// A command without the variables that `cargo run` sets for its own compiler.
pub fn clean_command(program: &Path) -> Command {
    let mut command = Command::new(program);
    for name in ["LD_LIBRARY_PATH", "RUSTFLAGS", "CARGO_ENCODED_RUSTFLAGS", "CARGO_BUILD_TARGET"] {
        command.env_remove(name);
    }
    command
}

/// Runs a command to its end.
///
/// # Errors
/// [`SiteError::NotStarted`] or [`SiteError::Failed`].
pub fn run(command: &mut Command) -> Result<(), SiteError> {
    let program = command.get_program().to_string_lossy().into_owned();
    match command.status() {
        Ok(status) if status.success() => Ok(()),
        Ok(status) => Err(SiteError::Failed { program, status }),
        Err(source) => Err(SiteError::NotStarted { program, source }),
    }
}

/// The first line that a program prints, or `None` if it cannot be run.
pub fn first_line(command: &mut Command) -> Option<String> {
    let output = command.output().ok().filter(|output| output.status.success())?;
    let text = String::from_utf8(output.stdout).ok()?;
    text.lines().next().map(|line| line.trim().to_owned())
}
