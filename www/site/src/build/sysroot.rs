//! The standard library for WASM, built once from Debian's sources and kept under `target`.
//!
//! A folder of its own, because nothing may be written to `/usr`; built once, because `-Z build-std`
//! in every build would show an unstable compiler to the build scripts of other crates.

use super::command::{clean_command, first_line, run};
use super::workspace::Workspace;
use crate::error::{MissingPart, SiteError};
use std::fs;
use std::path::{Path, PathBuf};

/// The compilation target of the page and the worker.
pub const WASM_TARGET: &str = "wasm32-unknown-unknown";

/// An empty package; Cargo builds the standard library for it.
const STUB_MANIFEST: &str =
    "[package]\nname = \"stub\"\nversion = \"0.0.0\"\nedition = \"2024\"\n\n[workspace]\n";

/// Part of the folder's name. Exact: counted up whenever the build below changes.
const RECIPE: u32 = 1;

/// The folder for the compiler's `--sysroot`; builds it if it does not exist.
///
/// # Errors
/// [`SiteError::Failed`] if the library does not compile, [`SiteError::File`] if it cannot be copied.
pub fn prepare(workspace: &Workspace, rustc: &Path, cargo: &Path) -> Result<PathBuf, SiteError> {
    let version = first_line(clean_command(rustc).arg("--version"))
        .ok_or(SiteError::NoWasmToolchain(MissingPart::DebianCompiler))?;
    let home = workspace.target.join("web-std");
    let done = home.join(key(&version));
    if done.is_dir() {
        return Ok(done);
    }
    println!("Building the standard library for WASM once ({version})");
    let work = home.join(format!("work-{}", std::process::id()));
    build_library(workspace, &work, rustc, cargo)?;
    copy_libraries(&work, &work.join("sysroot"))?;
    // The rename is atomic: an interrupted build leaves no partial library. Of two builds at once
    // the second is thrown away, as both are the same.
    if let Err(source) = fs::rename(work.join("sysroot"), &done)
        && !done.is_dir()
    {
        return Err(SiteError::File { action: "cannot rename to", path: done, source });
    }
    fs::remove_dir_all(&work).map_err(SiteError::file("cannot remove", &work))?;
    Ok(done)
}

/// A folder name that changes with the compiler and with [`RECIPE`].
fn key(version: &str) -> String {
    let version: String = version
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() || c == '.' { c } else { '-' })
        .collect();
    format!("{version}recipe-{RECIPE}")
}

fn build_library(
    workspace: &Workspace,
    work: &Path,
    rustc: &Path,
    cargo: &Path,
) -> Result<(), SiteError> {
    let source = work.join("src");
    fs::create_dir_all(&source).map_err(SiteError::file("cannot make", &source))?;
    for (path, text) in
        [(work.join("Cargo.toml"), STUB_MANIFEST), (source.join("lib.rs"), "#![no_std]\n")]
    {
        fs::write(&path, text).map_err(SiteError::file("cannot write", &path))?;
    }
    let mut command = clean_command(cargo);
    command
        .current_dir(work)
        .args([
            "build",
            "--release",
            "--quiet",
            "-Z",
            "build-std=std,panic_abort,test",
            "--target",
            WASM_TARGET,
        ])
        .arg("--config")
        .arg(workspace.root.join(".cargo/config.toml"))
        // The page is linked with LTO across all crates, which needs the bitcode that Cargo
        // otherwise leaves out.
        .arg("--config")
        .arg(format!("target.{WASM_TARGET}.rustflags=[\"-Cembed-bitcode=yes\"]"))
        .arg("--target-dir")
        .arg(work.join("target"))
        .env("RUSTC", rustc)
        .env("RUSTC_BOOTSTRAP", "1");
    run(&mut command)
}

fn copy_libraries(work: &Path, sysroot: &Path) -> Result<(), SiteError> {
    let built = work.join("target").join(WASM_TARGET).join("release/deps");
    let copies = sysroot.join("lib/rustlib").join(WASM_TARGET).join("lib");
    fs::create_dir_all(&copies).map_err(SiteError::file("cannot make", &copies))?;
    for entry in built.read_dir().map_err(SiteError::file("cannot read", &built))?.flatten() {
        let name = entry.file_name();
        let text = name.to_string_lossy();
        if text.ends_with(".rlib") && !text.starts_with("libstub-") {
            fs::copy(entry.path(), copies.join(&name))
                .map_err(SiteError::file("cannot copy", &entry.path()))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_compiler_gets_another_folder() {
        let first = key("rustc 1.96.0 (ac68faa20 2026-05-25)");
        assert_eq!(first, format!("rustc-1.96.0--ac68faa20-2026-05-25-recipe-{RECIPE}"));
        assert_ne!(first, key("rustc 1.96.1 (ac68faa20 2026-05-25)"));
    }
}
