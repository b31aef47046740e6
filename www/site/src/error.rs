//! Errors of building and serving the site: what is wrong and what to do.

use std::io;
use std::path::{Path, PathBuf};
use std::process::ExitStatus;
use thiserror::Error;

/// The commands in one line.
const USAGE: &str = "usage: site build [--quick] [--out DIR] | site serve [--port N] [--out DIR] | site time | site follower";

/// Why the site could not be built or served.
#[derive(Debug, Error)]
pub enum SiteError {
    /// A file or folder could not be read or written.
    #[error("{action} {}: {source}", path.display())]
    File {
        /// "cannot read", "cannot write" and the like.
        action: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// The system's error.
        source: io::Error,
    },
    /// No toolchain here compiles to WASM.
    #[error(
        "{}: install the wasm32-unknown-unknown target of your Rust toolchain, \
         or on Debian `apt-get install rustc-web cargo-web rust-web-src`", .0.sentence()
    )]
    NoWasmToolchain(MissingPart),
    /// A program could not be started.
    #[error("cannot start {program}: {source}; is it installed and on the PATH?")]
    NotStarted {
        /// Its name.
        program: String,
        /// The system's error.
        source: io::Error,
    },
    /// A program ran and reported failure.
    #[error("{program} failed ({status}): see its messages above")]
    Failed {
        /// Its name.
        program: String,
        /// How it ended.
        status: ExitStatus,
    },
    /// The JavaScript bindings of a program could not be written.
    #[error(
        "cannot write the bindings of {module}: {reason}; are the crate wasm-bindgen and this tool of one version?"
    )]
    Bindings {
        /// The program.
        module: String,
        /// The message of wasm-bindgen.
        reason: String,
    },
    /// A file of the shell names a placeholder that has no value.
    #[error("{file} names {placeholder}, which the build does not provide: correct one of the two")]
    Placeholder {
        /// The file of the shell.
        file: String,
        /// The text between the at signs.
        placeholder: String,
    },
    /// The icon could not be rendered.
    #[error("cannot render www/shell/mark.svg at {size_px} pixels: {source}; correct the drawing")]
    Icon {
        /// Its side.
        size_px: u32,
        /// The renderer's error.
        source: Box<dyn std::error::Error + Send + Sync>,
    },
    /// The folder to serve has no site in it.
    #[error("no site at {}: run `cargo run -p site -- build` first", .0.display())]
    NotBuilt(PathBuf),
    /// The folder to write exists and is not a site.
    #[error("{} is not a site and is not replaced: choose another folder with --out", .0.display())]
    NotASite(PathBuf),
    /// The program was started outside the sources.
    #[error("{} is not inside the sources: change to their folder", .0.display())]
    OutsideSources(PathBuf),
    /// The port is taken.
    #[error(
        "cannot listen on 127.0.0.1:{port}: {source}; choose another with --port (saved work belongs to its port)"
    )]
    Port {
        /// The port.
        port: u16,
        /// The system's error.
        source: io::Error,
    },
    /// The command line was not understood.
    #[error("{0}\n{USAGE}")]
    CommandLine(#[from] lexopt::Error),
}

/// The part that a toolchain needs to compile to WASM and that is missing here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MissingPart {
    /// The WASM target, and Debian's compiler too.
    Target,
    /// A compiler that runs: Debian's does not.
    DebianCompiler,
    /// Debian's Cargo or the sources of its standard library.
    DebianSources,
    /// A linker for WASM.
    Linker,
}

impl MissingPart {
    fn sentence(self) -> &'static str {
        match self {
            MissingPart::Target => "the Rust toolchain has no wasm32-unknown-unknown target",
            MissingPart::DebianCompiler => "Debian's rustc does not run",
            MissingPart::DebianSources => {
                "Debian's rustc is installed without its Cargo or the sources of its standard library"
            }
            MissingPart::Linker => "there is no linker for WASM (rust-lld or wasm-ld)",
        }
    }
}

impl SiteError {
    /// For `map_err`: adds the path that the system's message leaves out.
    pub(crate) fn file(action: &'static str, path: &Path) -> impl FnOnce(io::Error) -> SiteError {
        let path = path.to_path_buf();
        move |source| SiteError::File { action, path, source }
    }
}
