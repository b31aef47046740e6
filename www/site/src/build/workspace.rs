//! The folders that the build reads and writes.

use crate::SiteError;
use std::env;
use std::path::{Path, PathBuf};

/// The sources and Cargo's output.
#[derive(Clone, Debug)]
pub struct Workspace {
    /// The root of the sources.
    pub root: PathBuf,
    /// Everything that is built; it may be deleted.
    pub target: PathBuf,
}

impl Workspace {
    /// Looks upwards from the package that Cargo runs, then from the current folder.
    ///
    /// # Errors
    /// [`SiteError::OutsideSources`] if neither is inside the sources.
    pub fn find() -> Result<Workspace, SiteError> {
        let here = env::current_dir().map_err(SiteError::file("cannot find", Path::new(".")))?;
        let package = env::var_os("CARGO_MANIFEST_DIR").map(PathBuf::from);
        let root = package
            .iter()
            .chain([&here])
            .flat_map(|start| start.ancestors())
            .find(|folder| folder.join("www/shell/index.html").is_file())
            .ok_or_else(|| SiteError::OutsideSources(here.clone()))?
            .to_path_buf();
        let target = match env::var_os("CARGO_TARGET_DIR") {
            Some(folder) => here.join(folder),
            None => root.join("target"),
        };
        Ok(Workspace { root, target })
    }

    /// The default folder of the site.
    pub fn default_out(&self) -> PathBuf {
        self.target.join("site")
    }

    /// The static files of the site that are written by hand.
    pub fn shell(&self) -> PathBuf {
        self.root.join("www/shell")
    }

    /// The example clips; the truth files beside them are not part of the site.
    pub fn clips(&self) -> PathBuf {
        self.root.join("demo-clips/clips")
    }
}
