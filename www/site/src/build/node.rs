//! Compiles a program of the workspace to WASM for Node, with the settings of the site.

use super::command::run;
use super::compile::cargo_build;
use super::sysroot::WASM_TARGET;
use super::toolchain;
use super::workspace::Workspace;
use crate::SiteError;
use std::fs;
use std::path::PathBuf;
use wasm_bindgen_cli_support::Bindgen;

/// Compiles the program of the package of that name and returns the script that Node loads.
///
/// # Errors
/// [`SiteError`] names the step and what to do: no toolchain for WASM, or versions that differ.
pub fn build_for_node(workspace: &Workspace, name: &str) -> Result<PathBuf, SiteError> {
    let toolchain = toolchain::find(workspace)?;
    let mut command = cargo_build(workspace, &toolchain);
    command.args(["--release", "--package", name, "--bin", name]);
    run(&mut command)?;
    let web = workspace.target.join("web");
    let folder = web.join("node").join(name);
    fs::create_dir_all(&folder).map_err(SiteError::file("cannot make", &folder))?;
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(web.join(WASM_TARGET).join("release").join(format!("{name}.wasm")))
        .out_name(name)
        .typescript(false);
    bindgen.nodejs(true).and_then(|bindgen| bindgen.generate(&folder)).map_err(|error| {
        SiteError::Bindings { module: name.to_owned(), reason: format!("{error:#}") }
    })?;
    Ok(folder.join(format!("{name}.js")))
}
