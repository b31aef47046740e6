//! Finds a Rust toolchain that compiles to WASM; it never calls an installer.

use super::command::{clean_command, first_line};
use super::sysroot::{self, WASM_TARGET};
use super::workspace::Workspace;
use crate::error::{MissingPart, SiteError};
use std::env;
use std::path::{Path, PathBuf};

/// Debian's compiler, which its packages for building browsers install.
const DEBIAN_RUSTC: &str = "/usr/bin/rustc";
/// Debian's Cargo; only it can build the standard library with Debian's compiler.
const DEBIAN_CARGO: &str = "/usr/bin/cargo";

/// What compiles to WASM; `None` leaves the choice to Cargo.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Toolchain {
    /// The compiler.
    pub rustc: Option<PathBuf>,
    /// The folder with its standard library for WASM.
    pub sysroot: Option<PathBuf>,
    /// The linker.
    pub linker: Option<PathBuf>,
}

/// The ordinary toolchain if it has the WASM target, else Debian's compiler with a standard library
/// that is built once and kept under `target`.
///
/// # Errors
/// [`SiteError::NoWasmToolchain`] names the missing part.
pub fn find(workspace: &Workspace) -> Result<Toolchain, SiteError> {
    let ordinary = env::var_os("RUSTC").map_or_else(|| PathBuf::from("rustc"), PathBuf::from);
    let ordinary_sysroot = sysroot_of(&ordinary, &workspace.root);
    if ordinary_sysroot.as_deref().is_some_and(has_wasm_std) {
        return Ok(Toolchain::default());
    }
    let debian = Path::new(DEBIAN_RUSTC);
    let Some(debian_sysroot) = sysroot_of(debian, &workspace.root) else {
        return Err(SiteError::NoWasmToolchain(MissingPart::Target));
    };
    let rustc = Some(debian.to_path_buf());
    let linker = Some(find_linker(&[Some(debian_sysroot.clone()), ordinary_sysroot])?);
    if has_wasm_std(&debian_sysroot) {
        return Ok(Toolchain { rustc, sysroot: None, linker });
    }
    if !debian_sysroot.join("lib/rustlib/src/rust/library/std").is_dir()
        || !Path::new(DEBIAN_CARGO).is_file()
    {
        return Err(SiteError::NoWasmToolchain(MissingPart::DebianSources));
    }
    let built = sysroot::prepare(workspace, debian, Path::new(DEBIAN_CARGO))?;
    Ok(Toolchain { rustc, sysroot: Some(built), linker })
}

fn sysroot_of(rustc: &Path, root: &Path) -> Option<PathBuf> {
    // In the folder of the sources, where rust-toolchain.toml applies.
    first_line(clean_command(rustc).args(["--print", "sysroot"]).current_dir(root))
        .map(PathBuf::from)
}

fn has_wasm_std(sysroot: &Path) -> bool {
    let folder = sysroot.join("lib/rustlib").join(WASM_TARGET).join("lib");
    folder.read_dir().is_ok_and(|entries| {
        entries.flatten().any(|entry| entry.file_name().to_string_lossy().starts_with("libstd-"))
    })
}

/// `rust-lld` cannot be copied: it finds its LLVM by a relative path.
fn find_linker(sysroots: &[Option<PathBuf>]) -> Result<PathBuf, SiteError> {
    let host = format!("{}-unknown-linux-gnu", env::consts::ARCH);
    let bundled = sysroots
        .iter()
        .flatten()
        .map(|sysroot| sysroot.join("lib/rustlib").join(&host).join("bin/rust-lld"));
    let path = env::var_os("PATH").unwrap_or_default();
    let on_path: Vec<PathBuf> =
        env::split_paths(&path).map(|folder| folder.join("wasm-ld")).collect();
    bundled
        .chain(on_path)
        .find(|candidate| candidate.is_file())
        .ok_or(SiteError::NoWasmToolchain(MissingPart::Linker))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn a_toolchain_has_the_target_only_if_its_std_is_there() {
        let sysroot = env::temp_dir().join(format!("site-toolchain-{}", std::process::id()));
        let library = sysroot.join("lib/rustlib").join(WASM_TARGET).join("lib");
        fs::create_dir_all(&library).unwrap();
        fs::write(library.join("libcore-1.rlib"), "").unwrap();
        assert!(!has_wasm_std(&sysroot));
        fs::write(library.join("libstd-1.rlib"), "").unwrap();
        assert!(has_wasm_std(&sysroot));
        fs::remove_dir_all(&sysroot).unwrap();
    }

    #[test]
    fn a_compiler_that_does_not_exist_has_no_sysroot() {
        assert_eq!(sysroot_of(Path::new("/nowhere/rustc"), Path::new("/")), None);
    }
}
