//! Compiles the page and the worker to WASM and writes their JavaScript side.

use super::place::Place;
use super::toolchain::{WEB_TARGET, WebRust, clean_command, run};
use crate::SiteError;
use std::collections::BTreeMap;
use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use wasm_bindgen_cli_support::Bindgen;

/// The programs that run in the browser.
pub const MODULES: [&str; 2] = ["page", "worker"];

/// How much time the compiler may take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Haste {
    /// As it is shipped.
    Release,
    /// For trying things out: larger, slower, with its checks and names.
    Quick,
}

/// One program as the browser gets it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Module {
    /// "page" or "worker".
    pub name: String,
    /// The WASM.
    pub wasm: Vec<u8>,
    /// The JavaScript that binds it to the browser.
    pub bindings: Vec<u8>,
    /// Scripts the bindings import, by path beside them.
    pub snippets: BTreeMap<String, Vec<u8>>,
}

/// Compiles both programs.
///
/// # Errors
/// [`SiteError::Failed`] after the compiler's own words, [`SiteError::Bindings`] if the versions do not fit.
pub fn compile(place: &Place, rust: &WebRust, haste: Haste) -> Result<Vec<Module>, SiteError> {
    let target = place.target.join("web");
    let mut command = web_cargo(place, rust);
    command.args(["--package", "page", "--package", "worker"]);
    for module in MODULES {
        command.args(["--bin", module]);
    }
    if haste == Haste::Release {
        command.arg("--release");
    }
    run(&mut command)?;
    let profile = if haste == Haste::Release { "release" } else { "debug" };
    let compiled = target.join(WEB_TARGET).join(profile);
    MODULES.iter().map(|name| bind(&compiled, &target.join("bindings"), name, haste)).collect()
}

/// `cargo build` for the browser; what is to be built is to be added.
pub fn web_cargo(place: &Place, rust: &WebRust) -> Command {
    let cargo = env::var_os("CARGO").map_or_else(|| PathBuf::from("cargo"), PathBuf::from);
    let mut command = clean_command(&cargo);
    command.current_dir(&place.root).args(["build", "--target", WEB_TARGET]);
    // A folder apart: host crates built by another compiler would otherwise displace the ordinary ones.
    command.arg("--target-dir").arg(place.target.join("web"));
    for setting in settings(place, rust) {
        command.arg("--config").arg(setting);
    }
    if let Some(rustc) = &rust.rustc {
        command.env("RUSTC", rustc);
    }
    command
}

/// Cargo settings that are added to those of `.cargo/config.toml`.
fn settings(place: &Place, rust: &WebRust) -> Vec<String> {
    let mut flags = vec![remap(&place.root, "/stride-ledger")];
    if let Some(home) = cargo_home() {
        flags.push(remap(&home, "/cargo"));
    }
    if let Some(sysroot) = &rust.sysroot {
        flags.push(format!("--sysroot={}", sysroot.display()));
    }
    // JSON arrays and strings are TOML too.
    let key = format!("target.{WEB_TARGET}");
    let mut settings = vec![format!("{key}.rustflags={}", serde_json::json!(flags))];
    if let Some(linker) = &rust.linker {
        settings.push(format!("{key}.linker={}", serde_json::json!(linker)));
    }
    settings
}

/// Folder names do not reach the WASM, so that two clones build the same bytes.
fn remap(folder: &Path, name: &str) -> String {
    format!("--remap-path-prefix={}={name}", folder.display())
}

fn cargo_home() -> Option<PathBuf> {
    let named = env::var_os("CARGO_HOME").map(PathBuf::from);
    named.or_else(|| env::var_os("HOME").map(|home| PathBuf::from(home).join(".cargo")))
}

fn bind(compiled: &Path, bindings: &Path, name: &str, haste: Haste) -> Result<Module, SiteError> {
    let folder = bindings.join(name);
    if folder.is_dir() {
        fs::remove_dir_all(&folder).map_err(SiteError::file("cannot clear", &folder))?;
    }
    let quick = haste == Haste::Quick;
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
    let mut waiting = vec![folder.join("snippets")];
    while let Some(next) = waiting.pop() {
        let Ok(entries) = next.read_dir() else { continue };
        for path in entries.flatten().map(|entry| entry.path()) {
            if path.is_dir() {
                waiting.push(path);
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
        let place = Place { root: "/a b".into(), target: "/t".into() };
        let rust =
            WebRust { sysroot: Some("/c d".into()), linker: Some("/e f".into()), rustc: None };
        let settings = settings(&place, &rust);
        let flags = settings[0].strip_prefix("target.wasm32-unknown-unknown.rustflags=").unwrap();
        let flags: Vec<String> = serde_json::from_str(flags).unwrap();
        assert!(flags.contains(&"--remap-path-prefix=/a b=/stride-ledger".to_owned()));
        assert!(flags.contains(&"--sysroot=/c d".to_owned()));
        assert_eq!(settings[1], "target.wasm32-unknown-unknown.linker=\"/e f\"");
    }
}
