//! A program of the workspace as WASM for Node, compiled as what is shipped is.

use super::compile::web_cargo;
use super::place::Place;
use super::toolchain::{self, WEB_TARGET, run};
use crate::SiteError;
use std::fs;
use std::path::PathBuf;
use wasm_bindgen_cli_support::Bindgen;

/// Compiles the program of a crate of that name; gives the script that Node loads.
///
/// # Errors
/// [`SiteError`] names the step and what to do: nothing compiles for the browser, or the versions do not fit.
pub fn build_for_node(place: &Place, name: &str) -> Result<PathBuf, SiteError> {
    let rust = toolchain::find(place)?;
    let mut command = web_cargo(place, &rust);
    command.args(["--release", "--package", name, "--bin", name]);
    run(&mut command)?;
    let web = place.target.join("web");
    let folder = web.join("node").join(name);
    fs::create_dir_all(&folder).map_err(SiteError::file("cannot make", &folder))?;
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(web.join(WEB_TARGET).join("release").join(format!("{name}.wasm")))
        .out_name(name)
        .typescript(false);
    bindgen.nodejs(true).and_then(|bindgen| bindgen.generate(&folder)).map_err(|error| {
        SiteError::Bindings { module: name.to_owned(), reason: format!("{error:#}") }
    })?;
    Ok(folder.join(format!("{name}.js")))
}
