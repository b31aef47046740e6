//! The standard library for the browser, built once from Debian's sources and kept under `target`.
//!
//! Kept apart because nothing may be written to `/usr`, and built once because `-Z build-std` in
//! every build would show the crates' build scripts an unstable compiler.

use super::place::Place;
use super::toolchain::{WEB_TARGET, clean_command, first_line, run};
use crate::SiteError;
use std::fs;
use std::path::{Path, PathBuf};

/// The crate that is built only so that Cargo builds the library for it.
const STUB_MANIFEST: &str =
    "[package]\nname = \"stub\"\nversion = \"0.0.0\"\nedition = \"2024\"\n\n[workspace]\n";

/// Part of the folder's name: to be counted up when the way of building below changes.
const RECIPE: u32 = 1;

/// The folder to hand to the compiler as `--sysroot`, made if it is not there.
///
/// # Errors
/// [`SiteError::Failed`] if the library does not build, [`SiteError::File`] if it cannot be kept.
pub fn prepare(place: &Place, rustc: &Path, cargo: &Path) -> Result<PathBuf, SiteError> {
    let version = first_line(clean_command(rustc).arg("--version"))
        .ok_or_else(|| SiteError::NoWebRust(format!("{} does not run", rustc.display())))?;
    let home = place.target.join("web-std");
    let done = home.join(key(&version));
    if done.is_dir() {
        return Ok(done);
    }
    println!("Building the standard library for the browser once ({version})");
    let work = home.join(format!("work-{}", std::process::id()));
    build_library(place, &work, rustc, cargo)?;
    keep_libraries(&work, &work.join("sysroot"))?;
    // The rename is what makes it complete: an interrupted build leaves no half of a library.
    // Two builds at once make the same thing, so that the loser's is thrown away.
    if let Err(source) = fs::rename(work.join("sysroot"), &done)
        && !done.is_dir()
    {
        return Err(SiteError::File { what: "cannot put in place", path: done, source });
    }
    fs::remove_dir_all(&work).map_err(SiteError::file("cannot remove", &work))?;
    Ok(done)
}

/// A folder name that changes with the compiler and with the way of building.
fn key(version: &str) -> String {
    let version: String = version
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() || c == '.' { c } else { '-' })
        .collect();
    format!("{version}recipe-{RECIPE}")
}

fn build_library(place: &Place, work: &Path, rustc: &Path, cargo: &Path) -> Result<(), SiteError> {
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
            WEB_TARGET,
        ])
        .arg("--config")
        .arg(place.root.join(".cargo/config.toml"))
        // Cargo leaves the bitcode out of a library it does not itself optimise across crates,
        // and the page is optimised across all of them.
        .arg("--config")
        .arg(format!("target.{WEB_TARGET}.rustflags=[\"-Cembed-bitcode=yes\"]"))
        .arg("--target-dir")
        .arg(work.join("target"))
        .env("RUSTC", rustc)
        .env("RUSTC_BOOTSTRAP", "1");
    run(&mut command)
}

fn keep_libraries(work: &Path, sysroot: &Path) -> Result<(), SiteError> {
    let built = work.join("target").join(WEB_TARGET).join("release/deps");
    let kept = sysroot.join("lib/rustlib").join(WEB_TARGET).join("lib");
    fs::create_dir_all(&kept).map_err(SiteError::file("cannot make", &kept))?;
    for entry in built.read_dir().map_err(SiteError::file("cannot read", &built))?.flatten() {
        let name = entry.file_name();
        let text = name.to_string_lossy();
        if text.ends_with(".rlib") && !text.starts_with("libstub-") {
            fs::copy(entry.path(), kept.join(&name))
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
