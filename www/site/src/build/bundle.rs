//! The files of the site in memory, named by their content, and put in place all at once.

use crate::SiteError;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// How many hexadecimal digits of the SHA-256 stand in a file's name.
/// Chosen: 64 bits, far beyond a chance collision among some twenty files.
pub const NAME_DIGITS: usize = 16;

/// The files of the site by path.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bundle {
    files: BTreeMap<String, Vec<u8>>,
}

impl Bundle {
    /// Adds a file under a fixed name.
    pub fn add(&mut self, path: &str, bytes: Vec<u8>) {
        self.files.insert(path.to_owned(), bytes);
    }

    /// Adds a file named by its content and answers the path: `clips/a.mp4` becomes `clips/a-….mp4`.
    pub fn add_hashed(&mut self, path: &str, bytes: Vec<u8>) -> String {
        let digest = sha256(&bytes);
        let short = digest.get(..NAME_DIGITS).unwrap_or(&digest);
        let named = match path.rsplit_once('.') {
            Some((stem, extension)) => format!("{stem}-{short}.{extension}"),
            None => format!("{path}-{short}"),
        };
        self.files.insert(named.clone(), bytes);
        named
    }

    /// Every path, in order.
    pub fn paths(&self) -> impl Iterator<Item = &str> {
        self.files.keys().map(String::as_str)
    }

    /// One file.
    pub fn get(&self, path: &str) -> Option<&[u8]> {
        self.files.get(path).map(Vec::as_slice)
    }

    /// One line a file, as `sha256sum --check` reads it.
    pub fn sums(&self) -> String {
        let mut text = String::new();
        for (path, bytes) in &self.files {
            // Writing to a String cannot fail.
            let _ = writeln!(text, "{}  {path}", sha256(bytes));
        }
        text
    }

    /// One name for the whole content: other files, other version.
    pub fn version(&self) -> String {
        let mut digest = sha256(self.sums().as_bytes());
        digest.truncate(NAME_DIGITS);
        digest
    }

    /// Writes all files beside `out` and then takes its place, so that a server never shows half a site.
    ///
    /// # Errors
    /// [`SiteError::File`]; `out` is then as it was.
    pub fn write(&self, out: &Path) -> Result<(), SiteError> {
        let fresh = beside(out, "new");
        let old = beside(out, "old");
        remove(&fresh)?;
        remove(&old)?;
        for (path, bytes) in &self.files {
            let file = fresh.join(path);
            let folder = file.parent().unwrap_or(&fresh);
            fs::create_dir_all(folder).map_err(SiteError::file("cannot make", folder))?;
            fs::write(&file, bytes).map_err(SiteError::file("cannot write", &file))?;
        }
        if out.exists() {
            // Only what this tool made is ever replaced.
            if !out.join("SHA256SUMS").is_file() {
                return Err(SiteError::Usage(format!(
                    "{} is not a site and is left alone",
                    out.display()
                )));
            }
            fs::rename(out, &old).map_err(SiteError::file("cannot replace", out))?;
        }
        fs::rename(&fresh, out).map_err(SiteError::file("cannot put in place", out))?;
        remove(&old)
    }
}

/// The whole SHA-256 in hexadecimal digits.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut text, byte| {
        // Writing to a String cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

fn beside(out: &Path, ending: &str) -> std::path::PathBuf {
    let mut name = out.file_name().unwrap_or_default().to_os_string();
    name.push(format!(".{ending}"));
    out.with_file_name(name)
}

fn remove(folder: &Path) -> Result<(), SiteError> {
    if folder.exists() {
        fs::remove_dir_all(folder).map_err(SiteError::file("cannot remove", folder))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(name: &str) -> std::path::PathBuf {
        let folder =
            std::env::temp_dir().join(format!("site-bundle-{name}-{}", std::process::id()));
        remove(&folder).unwrap();
        fs::create_dir_all(&folder).unwrap();
        folder
    }

    #[test]
    fn another_content_has_another_name() {
        let mut bundle = Bundle::default();
        let first = bundle.add_hashed("clips/a.mp4", b"one".to_vec());
        let second = bundle.add_hashed("clips/a.mp4", b"two".to_vec());
        // Source: FIPS 180-4, by coreutils: printf one | sha256sum.
        assert_eq!(first, "clips/a-7692c3ad3540bb80.mp4");
        assert_ne!(first, second);
        assert_eq!(bundle.paths().count(), 2);
    }

    #[test]
    fn the_version_changes_with_any_file() {
        let mut bundle = Bundle::default();
        bundle.add("a", b"one".to_vec());
        let before = bundle.version();
        bundle.add("a", b"two".to_vec());
        assert_ne!(before, bundle.version());
    }

    #[test]
    fn a_second_build_leaves_nothing_of_the_first() {
        let home = folder("twice");
        let out = home.join("site");
        for name in ["one", "two"] {
            let mut bundle = Bundle::default();
            bundle.add(name, b"x".to_vec());
            bundle.add("SHA256SUMS", bundle.sums().into_bytes());
            bundle.write(&out).unwrap();
        }
        assert!(!out.join("one").exists() && out.join("two").is_file());
        assert_eq!(home.read_dir().unwrap().count(), 1);
        remove(&home).unwrap();
    }

    #[test]
    fn a_folder_that_is_not_a_site_is_left_alone() {
        let home = folder("foreign");
        let out = home.join("photos");
        fs::create_dir(&out).unwrap();
        fs::write(out.join("a.jpg"), "x").unwrap();
        assert!(Bundle::default().write(&out).is_err());
        assert!(out.join("a.jpg").is_file());
        remove(&home).unwrap();
    }
}
