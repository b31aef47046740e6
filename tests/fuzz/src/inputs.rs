//! Inputs in files: those that once failed, the corpus that a search begins with, and the dictionary.

use crate::target::Target;
use std::io::{Error, Result};
use std::path::{Path, PathBuf};
use std::{env, fs};

/// Inputs that once failed for this target.
///
/// # Errors
/// When the folder cannot be read.
pub fn fixtures(target: &Target) -> Result<Vec<PathBuf>> {
    let all = files(&Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures"))?;
    let of_target = |path: &PathBuf| {
        path.file_name().is_some_and(|n| n.to_string_lossy().starts_with(target.name))
    };
    Ok(all.into_iter().filter(of_target).collect())
}

/// The inputs that earlier searches on this machine found to reach new code.
///
/// # Errors
/// When the folder cannot be made or read.
pub fn corpus(target: &Target) -> Result<Vec<PathBuf>> {
    files(&corpus_folder(target)?)
}

/// All files of a folder.
///
/// # Errors
/// When it cannot be read.
pub fn files(folder: &Path) -> Result<Vec<PathBuf>> {
    let mut paths = Vec::new();
    for entry in fs::read_dir(folder)? {
        paths.push(entry?.path());
    }
    paths.sort();
    Ok(paths)
}

/// The folder of this machine's corpus, made if it is missing.
///
/// # Errors
/// When it cannot be made.
pub fn corpus_folder(target: &Target) -> Result<PathBuf> {
    made(build_folder()?.join("corpus").join(target.name))
}

/// Writes the seeds of a target into a folder of their own.
///
/// # Errors
/// When they cannot be written.
pub fn seed_folder(target: &Target) -> Result<PathBuf> {
    let folder = made(build_folder()?.join("seeds").join(target.name))?;
    for (n, seed) in (target.seeds)().iter().enumerate() {
        fs::write(folder.join(format!("{n}")), seed)?;
    }
    Ok(folder)
}

/// Writes the dictionary of a target in libFuzzer's format; none for a target without one.
///
/// # Errors
/// When it cannot be written.
pub fn dictionary(target: &Target) -> Result<Option<PathBuf>> {
    if target.dictionary.is_empty() {
        return Ok(None);
    }
    let path = build_folder()?.join(format!("{}.dict", target.name));
    let entry = |word: &&[u8]| {
        let escaped: String = word.iter().map(|byte| format!("\\x{byte:02x}")).collect();
        format!("\"{escaped}\"\n")
    };
    fs::write(&path, target.dictionary.iter().map(entry).collect::<String>())?;
    Ok(Some(path))
}

/// The folder for everything that searches build and find, beside the profile folders of cargo.
///
/// # Errors
/// When this program does not lie in a target folder, or the folder cannot be made.
pub fn build_folder() -> Result<PathBuf> {
    let program = env::current_exe()?;
    let profile =
        program.ancestors().skip(1).find(|p| p.ends_with("debug") || p.ends_with("release"));
    let target = profile.and_then(Path::parent);
    let target = target.ok_or_else(|| Error::other("this program lies in no target folder"))?;
    made(target.join("fuzz"))
}

fn made(folder: PathBuf) -> Result<PathBuf> {
    fs::create_dir_all(&folder)?;
    Ok(folder)
}
