//! The files of the site in memory, named by their content and written all at once.

use crate::SiteError;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// Hexadecimal digits of the SHA-256 in a file's name.
/// Chosen: 64 bits, so that some twenty files never collide by chance.
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

    /// Adds a file named by its content and returns its path: `clips/a.mp4` becomes `clips/a-….mp4`.
    pub fn add_hashed(&mut self, path: &str, bytes: Vec<u8>) -> String {
        let digest = sha256(&bytes);
        let short = digest.get(..NAME_DIGITS).unwrap_or(&digest);
        let hashed = match path.rsplit_once('.') {
            Some((stem, extension)) => format!("{stem}-{short}.{extension}"),
            None => format!("{path}-{short}"),
        };
        self.files.insert(hashed.clone(), bytes);
        hashed
    }

    /// Every path, in order.
    pub fn paths(&self) -> impl Iterator<Item = &str> {
        self.files.keys().map(String::as_str)
    }

    /// The bytes of one file.
    pub fn get(&self, path: &str) -> Option<&[u8]> {
        self.files.get(path).map(Vec::as_slice)
    }

    /// One line a file, in the format of `sha256sum`.
    pub fn sums(&self) -> String {
        let mut text = String::new();
        for (path, bytes) in &self.files {
            // Writing to a String cannot fail.
            let _ = writeln!(text, "{}  {path}", sha256(bytes));
        }
        text
    }

    /// A name for the whole content; any change of a file changes it.
    pub fn version(&self) -> String {
        let mut digest = sha256(self.sums().as_bytes());
        digest.truncate(NAME_DIGITS);
        digest
    }

    /// Writes all files beside `out` and then replaces it, so that no server ever sees half a site.
    ///
    /// # Errors
    /// [`SiteError::File`], or [`SiteError::NotASite`] for a folder that this program did not write; `out` is
    /// then unchanged.
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
            // Only a site is ever replaced.
            if !out.join("SHA256SUMS").is_file() {
                return Err(SiteError::NotASite(out.to_path_buf()));
            }
            fs::rename(out, &old).map_err(SiteError::file("cannot replace", out))?;
        }
        fs::rename(&fresh, out).map_err(SiteError::file("cannot rename to", out))?;
        remove(&old)
    }
}

/// The SHA-256 in hexadecimal digits.
fn sha256(bytes: &[u8]) -> String {
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
    fn other_content_gets_another_name() {
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
    fn a_second_build_removes_the_first() {
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
    fn a_folder_that_is_not_a_site_is_not_replaced() {
        let home = folder("foreign");
        let out = home.join("photos");
        fs::create_dir(&out).unwrap();
        fs::write(out.join("a.jpg"), "x").unwrap();
        assert!(matches!(Bundle::default().write(&out), Err(SiteError::NotASite(_))));
        assert!(out.join("a.jpg").is_file());
        remove(&home).unwrap();
    }
}
