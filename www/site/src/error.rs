//! What can go wrong while the site is built or served, each with what to do about it.

use std::io;
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Why the site could not be built or served.
#[derive(Debug, Error)]
pub enum SiteError {
    /// A file or folder could not be read or written.
    #[error("{what} {}: {source}", path.display())]
    File {
        /// "cannot read", "cannot write" and the like.
        what: &'static str,
        /// Which file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// No compiler here can make the browser's half.
    #[error(
        "{0}: install the wasm32-unknown-unknown target of your Rust toolchain, \
         or on Debian `apt-get install rustc-web cargo-web rust-web-src`"
    )]
    NoWebRust(String),
    /// A program could not be started.
    #[error("cannot start {program}: {source}; is it installed and on the PATH?")]
    NotStarted {
        /// Its name.
        program: String,
        /// What the system said.
        source: io::Error,
    },
    /// A program ran and reported failure.
    #[error("{program} failed ({status}): its own lines above say why")]
    Failed {
        /// Its name.
        program: String,
        /// How it ended.
        status: String,
    },
    /// The JavaScript side of the WASM could not be written.
    #[error(
        "cannot write the bindings of {module}: {reason}; are the crate wasm-bindgen and this tool of one version?"
    )]
    Bindings {
        /// Which module.
        module: String,
        /// What wasm-bindgen said.
        reason: String,
    },
    /// A file of the shell asks for something that the build does not provide.
    #[error("{file} names {placeholder}, which the build does not provide: correct one of the two")]
    Placeholder {
        /// Which file of the shell.
        file: String,
        /// The text between the at signs.
        placeholder: String,
    },
    /// The icon could not be rendered.
    #[error("cannot render www/shell/mark.svg at {size_px} pixels: {source}; correct the drawing")]
    Icon {
        /// Its side.
        size_px: u32,
        /// What the renderer said.
        source: Box<dyn std::error::Error + Send + Sync>,
    },
    /// Nothing has been built there yet.
    #[error("no site at {}: run `cargo run -p site -- build` first", .0.display())]
    NotBuilt(PathBuf),
    /// The port is taken.
    #[error(
        "cannot listen on 127.0.0.1:{port}: {source}; choose another with --port (saved work belongs to its port)"
    )]
    Port {
        /// Which.
        port: u16,
        /// What the system said.
        source: io::Error,
    },
    /// The command line was not understood.
    #[error(
        "{0}\nusage: site build [--quick] [--out DIR] | site serve [--port N] [--out DIR] | site time | site follower"
    )]
    Usage(String),
}

impl SiteError {
    /// For `map_err`: names the file that the system's words leave out.
    pub(crate) fn file(what: &'static str, path: &Path) -> impl FnOnce(io::Error) -> SiteError {
        let path = path.to_path_buf();
        move |source| SiteError::File { what, path, source }
    }
}
