//! Times the analysis as WASM: the mechanics, compiled with the settings of the site and run by Node.

use super::command::{clean_command, run};
use super::compile::cargo_build;
use super::sysroot::WASM_TARGET;
use super::toolchain;
use super::workspace::Workspace;
use crate::SiteError;

/// The timed program; it analyses both trials [`ROUNDS`] times.
const PROGRAM: &str = "both_trials";
/// Exact: the count in `mechanics/benches/both_trials.rs`.
const ROUNDS: u32 = 20;

/// Compiles once and runs nine instances; the first warms up.
const SCRIPT: &str = "
const [file, rounds] = process.argv.slice(1);
const module = new WebAssembly.Module(require('fs').readFileSync(file));
const times = [];
for (let i = 0; i < 9; i += 1) {
  const { main } = new WebAssembly.Instance(module, {}).exports;
  const start = performance.now();
  main(0, 0);
  times.push((performance.now() - start) / Number(rounds));
}
times.shift();
times.sort((a, b) => a - b);
const ms = (t) => t.toFixed(2) + ' ms';
console.log('Both trials of 1000 frames and both sides, as WASM: fastest ' + ms(times[0]) + ', median ' + ms(times[4]));
";

/// Prints how long the analysis of both trials takes as WASM.
///
/// # Errors
/// [`SiteError`] names the step and what to do: no toolchain for WASM, or no Node.
pub fn time_analysis(workspace: &Workspace) -> Result<(), SiteError> {
    let toolchain = toolchain::find(workspace)?;
    let mut command = cargo_build(workspace, &toolchain);
    command.args(["--release", "--package", "mechanics", "--bin", PROGRAM]);
    run(&mut command)?;
    let wasm = workspace.target.join("web").join(WASM_TARGET).join("release");
    let mut node = clean_command("node".as_ref());
    node.args(["-e", SCRIPT]).arg(wasm.join(format!("{PROGRAM}.wasm"))).arg(ROUNDS.to_string());
    run(&mut node)
}
