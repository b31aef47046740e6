//! What is shipped: the worker has SIMD, and the sizes of shell and worker are measured.

use journeys::browser::site_folder;
use journeys::measurements::{Row, record};
use std::path::{Path, PathBuf};
use std::process::Command;

/// SIMD additions of four numbers in a module.
///
/// Source: WebAssembly core specification 3.0, section 5.4.9: `f32x4.add` is the prefix 0xFD and 228 in LEB128.
fn additions_of_four(module: &[u8]) -> usize {
    module.windows(3).filter(|w| *w == [0xfd, 0xe4, 0x01]).count()
}

/// Tracking takes three times as long if the linker removes them, and nothing else shows it.
fn the_shipped_worker_adds_four_numbers_at_once() {
    let Some(site) = site_folder() else { return };
    let names = std::fs::read_dir(&site).unwrap().flatten().map(|e| e.path());
    let is_worker = |p: &PathBuf| {
        let name = p.file_name().unwrap_or_default().to_string_lossy().into_owned();
        name.starts_with("worker-") && name.ends_with(".wasm")
    };
    let worker = std::fs::read(names.into_iter().find(is_worker).unwrap()).unwrap();
    // Only a site of `build --quick` keeps the names of its functions, in a custom section of that name.
    if worker.windows(5).any(|w| w == b"\x04name") {
        println!("NOT RUN: this site was built with --quick");
        return;
    }
    // Chosen: the sums of the tracker alone hold more than a hundred; by chance half a megabyte holds none.
    let found = additions_of_four(&worker);
    assert!(found > 30, "{found}");
}

/// Size of a file compressed with gzip; none without gzip.
fn gzipped_bytes(path: &Path) -> Option<usize> {
    let output = Command::new("gzip").args(["-9", "-c"]).arg(path).output().ok()?;
    output.status.success().then_some(output.stdout.len())
}

fn sizes_of_shell_and_worker_are_measured() {
    let Some(site) = site_folder() else { return };
    let (mut shell, mut worker) = (0, 0);
    for path in std::fs::read_dir(&site).unwrap().flatten().map(|e| e.path()) {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let is_code = [".wasm", ".js", ".css", ".html"].iter().any(|e| name.ends_with(e));
        if !is_code || name == "sw.js" {
            continue;
        }
        let Some(bytes) = gzipped_bytes(&path) else {
            println!("not run: there is no gzip");
            return;
        };
        *(if name.starts_with("worker") { &mut worker } else { &mut shell }) += bytes;
    }
    let result = format!("{:.0} KB; {:.0} KB", shell as f64 / 1e3, worker as f64 / 1e3);
    record("size", &[Row::new("shell; worker", result, "600 KB; –")]).unwrap();
    assert!(shell > 0 && worker > 0, "the site is not complete");
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["shipped": the_shipped_worker_adds_four_numbers_at_once, sizes_of_shell_and_worker_are_measured]
}
