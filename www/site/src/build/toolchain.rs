//! Finds a compiler that can make WASM here, without asking any installer for one.

use super::place::Place;
use super::sysroot;
use crate::SiteError;
use std::env;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The target of the browser's half.
pub const WEB_TARGET: &str = "wasm32-unknown-unknown";

/// Where Debian's packages for building browsers put their compiler.
const DEBIAN_RUSTC: &str = "/usr/bin/rustc";
/// Its Cargo, which is needed once, to build the standard library.
const DEBIAN_CARGO: &str = "/usr/bin/cargo";

/// A way to compile for the browser.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WebRust {
    /// The compiler, where it is not the one Cargo would take.
    pub rustc: Option<PathBuf>,
    /// Where its standard library for the browser is, if apart.
    pub sysroot: Option<PathBuf>,
    /// The linker, where the compiler brings none.
    pub linker: Option<PathBuf>,
}

/// Takes the ordinary toolchain if it has the target, else Debian's compiler with a library
/// that is built once and kept under `target`.
///
/// # Errors
/// [`SiteError::NoWebRust`] says in one line what is missing.
pub fn find(place: &Place) -> Result<WebRust, SiteError> {
    let ordinary = env::var_os("RUSTC").map_or_else(|| PathBuf::from("rustc"), PathBuf::from);
    let ordinary_sysroot = sysroot_of(&ordinary, &place.root);
    if ordinary_sysroot.as_deref().is_some_and(has_web_std) {
        return Ok(WebRust::default());
    }
    let debian = Path::new(DEBIAN_RUSTC);
    let Some(debian_sysroot) = sysroot_of(debian, &place.root) else {
        return Err(SiteError::NoWebRust(
            "the Rust toolchain here has no wasm32-unknown-unknown".to_owned(),
        ));
    };
    let linker = find_linker(&[Some(debian_sysroot.clone()), ordinary_sysroot])?;
    if has_web_std(&debian_sysroot) {
        return Ok(WebRust {
            rustc: Some(debian.to_path_buf()),
            sysroot: None,
            linker: Some(linker),
        });
    }
    if !debian_sysroot.join("lib/rustlib/src/rust/library/std").is_dir()
        || !Path::new(DEBIAN_CARGO).is_file()
    {
        return Err(SiteError::NoWebRust(
            "Debian's rustc is here without its Cargo or the sources of its standard library"
                .to_owned(),
        ));
    }
    let apart = sysroot::prepare(place, debian, Path::new(DEBIAN_CARGO))?;
    Ok(WebRust { rustc: Some(debian.to_path_buf()), sysroot: Some(apart), linker: Some(linker) })
}

/// A command without what `cargo run` leaves in the environment for its own compiler.
pub fn clean_command(program: &Path) -> Command {
    let mut command = Command::new(program);
    for name in ["LD_LIBRARY_PATH", "RUSTFLAGS", "CARGO_ENCODED_RUSTFLAGS", "CARGO_BUILD_TARGET"] {
        command.env_remove(name);
    }
    command
}

/// Runs to the end and turns failure into a sentence.
pub fn run(command: &mut Command) -> Result<(), SiteError> {
    let program = command.get_program().to_string_lossy().into_owned();
    match command.status() {
        Ok(status) if status.success() => Ok(()),
        Ok(status) => Err(SiteError::Failed { program, status: status.to_string() }),
        Err(source) => Err(SiteError::NotStarted { program, source }),
    }
}

/// The first line a program prints, or nothing if it cannot be run.
pub fn first_line(command: &mut Command) -> Option<String> {
    let output = command.output().ok().filter(|output| output.status.success())?;
    let text = String::from_utf8(output.stdout).ok()?;
    text.lines().next().map(|line| line.trim().to_owned())
}

fn sysroot_of(rustc: &Path, root: &Path) -> Option<PathBuf> {
    // In the folder of the sources, so that rust-toolchain.toml is heard.
    first_line(clean_command(rustc).args(["--print", "sysroot"]).current_dir(root))
        .map(PathBuf::from)
}

fn has_web_std(sysroot: &Path) -> bool {
    let folder = sysroot.join("lib/rustlib").join(WEB_TARGET).join("lib");
    folder.read_dir().is_ok_and(|entries| {
        entries.flatten().any(|entry| entry.file_name().to_string_lossy().starts_with("libstd-"))
    })
}

/// `rust-lld` is used where it lies: it finds its LLVM by a relative path.
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
        .ok_or_else(|| SiteError::NoWebRust("no linker for WASM (rust-lld or wasm-ld)".to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn a_toolchain_has_the_target_only_if_its_std_is_there() {
        let sysroot = env::temp_dir().join(format!("site-toolchain-{}", std::process::id()));
        let library = sysroot.join("lib/rustlib").join(WEB_TARGET).join("lib");
        fs::create_dir_all(&library).unwrap();
        fs::write(library.join("libcore-1.rlib"), "").unwrap();
        assert!(!has_web_std(&sysroot));
        fs::write(library.join("libstd-1.rlib"), "").unwrap();
        assert!(has_web_std(&sysroot));
        fs::remove_dir_all(&sysroot).unwrap();
    }

    #[test]
    fn a_compiler_that_is_not_there_is_no_toolchain() {
        assert_eq!(sysroot_of(Path::new("/nowhere/rustc"), Path::new("/")), None);
    }
}
