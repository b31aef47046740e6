//! Compiles the page and the worker to WASM and writes their JavaScript bindings.

use super::command::{clean_command, run};
use super::sysroot::WASM_TARGET;
use super::toolchain::Toolchain;
use super::workspace::Workspace;
use crate::SiteError;
use std::collections::BTreeMap;
use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use wasm_bindgen_cli_support::Bindgen;

/// The binaries that run in the browser.
const MODULES: [&str; 2] = ["page", "worker"];
/// Their packages.
const PACKAGES: [&str; 2] = ["page", "worker-program"];

/// How much the compiler optimises.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Profile {
    /// The site that is hosted.
    Release,
    /// For trying things out: compiled sooner, but larger and slower, with debug assertions and names.
    Quick,
}

/// One compiled program.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Module {
    /// "page" or "worker".
    pub name: String,
    /// Its WASM.
    pub wasm: Vec<u8>,
    /// Its JavaScript bindings.
    pub bindings: Vec<u8>,
    /// The scripts that the bindings import, by relative path.
    pub snippets: BTreeMap<String, Vec<u8>>,
}

/// Compiles both programs.
///
/// # Errors
/// [`SiteError::Failed`] after the compiler's own messages, [`SiteError::Bindings`] if versions differ.
pub fn compile(
    workspace: &Workspace,
    toolchain: &Toolchain,
    profile: Profile,
) -> Result<Vec<Module>, SiteError> {
    let target = workspace.target.join("web");
    let mut command = cargo_build(workspace, toolchain);
    for package in PACKAGES {
        command.args(["--package", package]);
    }
    for module in MODULES {
        command.args(["--bin", module]);
    }
    if profile == Profile::Release {
        command.arg("--release");
    }
    run(&mut command)?;
    let folder = if profile == Profile::Release { "release" } else { "debug" };
    let compiled = target.join(WASM_TARGET).join(folder);
    MODULES.iter().map(|name| bind(&compiled, &target.join("bindings"), name, profile)).collect()
}

/// `cargo build` for WASM; the caller adds the packages.
pub fn cargo_build(workspace: &Workspace, toolchain: &Toolchain) -> Command {
    let cargo = env::var_os("CARGO").map_or_else(|| PathBuf::from("cargo"), PathBuf::from);
    let mut command = clean_command(&cargo);
    command.current_dir(&workspace.root).args(["build", "--target", WASM_TARGET]);
    // A target folder of its own: host crates built by another compiler would replace the ordinary ones.
    command.arg("--target-dir").arg(workspace.target.join("web"));
    for setting in settings(workspace, toolchain) {
        command.arg("--config").arg(setting);
    }
    if let Some(rustc) = &toolchain.rustc {
        command.env("RUSTC", rustc);
    }
    command
}

/// Cargo settings in addition to `.cargo/config.toml`.
fn settings(workspace: &Workspace, toolchain: &Toolchain) -> Vec<String> {
    let mut flags = vec![remap(&workspace.root, "/stride-ledger")];
    if let Some(home) = cargo_home() {
        flags.push(remap(&home, "/cargo"));
    }
    if let Some(sysroot) = &toolchain.sysroot {
        flags.push(format!("--sysroot={}", sysroot.display()));
    }
    // JSON arrays and strings are TOML too.
    let key = format!("target.{WASM_TARGET}");
    let mut settings = vec![format!("{key}.rustflags={}", serde_json::json!(flags))];
    if let Some(linker) = &toolchain.linker {
        settings.push(format!("{key}.linker={}", serde_json::json!(linker)));
    }
    settings
}

/// Keeps folder names out of the WASM, so that two clones build the same bytes.
fn remap(folder: &Path, name: &str) -> String {
    format!("--remap-path-prefix={}={name}", folder.display())
}

fn cargo_home() -> Option<PathBuf> {
    let home = env::var_os("CARGO_HOME").map(PathBuf::from);
    home.or_else(|| env::var_os("HOME").map(|home| PathBuf::from(home).join(".cargo")))
}

fn bind(
    compiled: &Path,
    bindings: &Path,
    name: &str,
    profile: Profile,
) -> Result<Module, SiteError> {
    let folder = bindings.join(name);
    if folder.is_dir() {
        fs::remove_dir_all(&folder).map_err(SiteError::file("cannot clear", &folder))?;
    }
    let quick = profile == Profile::Quick;
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(compiled.join(format!("{name}.wasm")))
        .out_name(name)
        .typescript(false)
        .omit_default_module_path(true)
        .keep_debug(false)
        .remove_name_section(!quick)
        .remove_producers_section(true);
    bindgen.web(true).and_then(|bindgen| bindgen.generate(&folder)).map_err(|error| {
        SiteError::Bindings { module: name.to_owned(), reason: format!("{error:#}") }
    })?;
    let wasm = folder.join(format!("{name}_bg.wasm"));
    Ok(Module {
        name: name.to_owned(),
        wasm: read(&wasm)?,
        bindings: read(&folder.join(format!("{name}.js")))?,
        snippets: read_snippets(&folder)?,
    })
}

fn read_snippets(folder: &Path) -> Result<BTreeMap<String, Vec<u8>>, SiteError> {
    let mut found = BTreeMap::new();
    let mut pending = vec![folder.join("snippets")];
    while let Some(next) = pending.pop() {
        let Ok(entries) = next.read_dir() else { continue };
        for path in entries.flatten().map(|entry| entry.path()) {
            if path.is_dir() {
                pending.push(path);
            } else if let Ok(relative) = path.strip_prefix(folder) {
                found.insert(relative.to_string_lossy().replace('\\', "/"), read(&path)?);
            }
        }
    }
    Ok(found)
}

fn read(path: &Path) -> Result<Vec<u8>, SiteError> {
    fs::read(path).map_err(SiteError::file("cannot read", path))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_with_spaces_is_one_flag() {
        let workspace = Workspace { root: "/a b".into(), target: "/t".into() };
        let toolchain =
            Toolchain { sysroot: Some("/c d".into()), linker: Some("/e f".into()), rustc: None };
        let settings = settings(&workspace, &toolchain);
        let flags = settings[0].strip_prefix("target.wasm32-unknown-unknown.rustflags=").unwrap();
        let flags: Vec<String> = serde_json::from_str(flags).unwrap();
        assert!(flags.contains(&"--remap-path-prefix=/a b=/stride-ledger".to_owned()));
        assert!(flags.contains(&"--sysroot=/c d".to_owned()));
        assert_eq!(settings[1], "target.wasm32-unknown-unknown.linker=\"/e f\"");
    }
}
