//! How long the analysis takes as WASM: the mechanics compiled as they are shipped, run by Node.

use super::compile::web_cargo;
use super::place::Place;
use super::toolchain::{self, WEB_TARGET, clean_command, run};
use crate::SiteError;

/// The program that is timed; it analyses both trials [`ROUNDS`] times.
const PROGRAM: &str = "both_trials";
/// As in `mechanics/benches/both_trials.rs`.
const ROUNDS: u32 = 20;

/// Compiles once, then runs in nine instances, the first of them to warm up.
const SCRIPT: &str = "
const [file, rounds] = process.argv.slice(1);
const module = new WebAssembly.Module(require('fs').readFileSync(file));
const took = [];
for (let i = 0; i < 9; i += 1) {
  const { main } = new WebAssembly.Instance(module, {}).exports;
  const began = performance.now();
  main(0, 0);
  took.push((performance.now() - began) / Number(rounds));
}
took.shift();
took.sort((a, b) => a - b);
const ms = (t) => t.toFixed(2) + ' ms';
console.log('Both trials of 1000 frames and both sides, as WASM: fastest ' + ms(took[0]) + ', median ' + ms(took[4]));
";

/// Prints how long the analysis of both trials takes as WASM.
///
/// # Errors
/// [`SiteError`] names the step and what to do: nothing compiles for the browser, or there is no Node.
pub fn time(place: &Place) -> Result<(), SiteError> {
    let rust = toolchain::find(place)?;
    let mut command = web_cargo(place, &rust);
    command.args(["--release", "--package", "mechanics", "--bin", PROGRAM]);
    run(&mut command)?;
    let wasm = place.target.join("web").join(WEB_TARGET).join("release");
    let mut node = clean_command("node".as_ref());
    node.args(["-e", SCRIPT]).arg(wasm.join(format!("{PROGRAM}.wasm"))).arg(ROUNDS.to_string());
    run(&mut node)
}
