//! Where the sources are and where built things go.

use crate::SiteError;
use std::env;
use std::path::{Path, PathBuf};

/// The two folders that the build works with.
#[derive(Clone, Debug)]
pub struct Place {
    /// The top of the sources.
    pub root: PathBuf,
    /// Everything that is made and may be deleted.
    pub target: PathBuf,
}

impl Place {
    /// Looks upwards from the present folder, then from the one Cargo names.
    ///
    /// # Errors
    /// [`SiteError::Usage`] outside the sources.
    pub fn find() -> Result<Place, SiteError> {
        let here = env::current_dir().map_err(SiteError::file("cannot find", Path::new(".")))?;
        let named = env::var_os("CARGO_MANIFEST_DIR").map(PathBuf::from);
        let root = named
            .iter()
            .chain([&here])
            .flat_map(|start| start.ancestors())
            .find(|folder| folder.join("www/shell/index.html").is_file())
            .ok_or_else(|| {
                SiteError::Usage(format!("{} is not inside the sources", here.display()))
            })?
            .to_path_buf();
        let target = match env::var_os("CARGO_TARGET_DIR") {
            Some(named) => here.join(named),
            None => root.join("target"),
        };
        Ok(Place { root, target })
    }

    /// Where the site goes unless told otherwise.
    pub fn default_out(&self) -> PathBuf {
        self.target.join("site")
    }

    /// The files that are written by hand.
    pub fn shell(&self) -> PathBuf {
        self.root.join("www/shell")
    }

    /// The example clips; their truth files lie beside them and are not shipped.
    pub fn clips(&self) -> PathBuf {
        self.root.join("demo-clips/clips")
    }
}
