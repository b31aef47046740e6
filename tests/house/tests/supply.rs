//! The supply chain: known licences, one registry, checksums, and nothing in the shipped program that opens connections.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

/// Licences under which a dependency may be used. Chosen: they permit the use, ask for no more than their notice, and
/// reach no further than the dependency itself.
const LICENCES: [&str; 13] = [
    "MIT",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Zlib",
    "Unicode-3.0",
    "Unlicense",
    "CC0-1.0",
    "0BSD",
    "BSL-1.0",
    "MPL-2.0",
    "Apache-2.0 WITH LLVM-exception",
];
/// Crates that open connections; none of them is shipped.
///
/// Crates of sockets are not listed: cargo unites the features of the whole workspace, and the tests enable those of
/// a runtime that the page uses without them; WASM in a browser has no sockets at all.
const BANNED: [&str; 10] = [
    "reqwest",
    "hyper",
    "ureq",
    "curl",
    "isahc",
    "openssl-sys",
    "native-tls",
    "rustls",
    "tungstenite",
    "webrtc",
];

/// The metadata of the project, with more arguments.
fn metadata(more: &[&str]) -> Value {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let run = Command::new(env!("CARGO"))
        .current_dir(root)
        .args(["metadata", "--format-version", "1", "--locked"])
        .args(more)
        .output()
        .unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    serde_json::from_slice(&run.stdout).unwrap()
}

fn words<'a>(value: &'a Value, name: &str) -> &'a str {
    value[name].as_str().unwrap_or_default()
}

/// Whether a licence expression is allowed: `A OR B` needs one of them, `A AND B` all.
fn allowed(expression: &str) -> bool {
    let plain = expression.replace(['(', ')'], " ").replace('/', " OR ");
    plain.split(" AND ").all(|all| all.split(" OR ").any(|one| LICENCES.contains(&one.trim())))
}

#[test]
fn an_expression_of_licences_is_read_correctly() {
    assert!(allowed("MIT OR Apache-2.0") && allowed("MIT/Apache-2.0") && allowed("GPL-3.0 OR MIT"));
    assert!(allowed("(MIT OR Apache-2.0) AND Unicode-3.0"));
    assert!(!allowed("GPL-3.0") && !allowed("MIT AND GPL-3.0") && !allowed(""));
}

#[test]
fn every_dependency_has_a_known_licence_and_comes_from_one_registry_with_its_checksum() {
    let metadata = metadata(&[]);
    let packages = metadata["packages"].as_array().unwrap();
    assert!(packages.len() > 100);
    let mut wrong = Vec::new();
    let mut sources = BTreeSet::new();
    for package in packages {
        let named = format!("{} {}", words(package, "name"), words(package, "version"));
        if !allowed(words(package, "license")) {
            wrong.push(format!("{named}: licence {:?}", words(package, "license")));
        }
        // Packages of the project itself have none.
        if let Some(source) = package["source"].as_str() {
            if !source.starts_with("registry+") {
                wrong.push(format!("{named}: comes from {source}"));
            }
            sources.insert(source.to_owned());
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(sources.len(), 1, "{sources:?}");
    let lock = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../Cargo.lock");
    let lock = std::fs::read_to_string(lock).unwrap();
    for part in lock.split("[[package]]").skip(1).filter(|p| p.contains("source = ")) {
        assert!(part.contains("checksum = \""), "{part}");
    }
}

#[test]
fn nothing_in_the_shipped_program_opens_connections() {
    let metadata = metadata(&["--filter-platform", "wasm32-unknown-unknown"]);
    let nodes = metadata["resolve"]["nodes"].as_array().unwrap();
    let node = |id: &str| nodes.iter().find(|n| words(n, "id") == id);
    let is_program = |p: &&Value| ["page", "worker"].contains(&words(p, "name"));
    let programs = metadata["packages"].as_array().unwrap().iter().filter(is_program);
    let mut next: Vec<String> = programs.map(|p| words(p, "id").to_owned()).collect();
    assert_eq!(next.len(), 2, "page and worker are shipped");
    let mut shipped = BTreeSet::new();
    while let Some(id) = next.pop() {
        let Some(node) = node(&id).filter(|_| shipped.insert(id.clone())) else { continue };
        for dependency in node["deps"].as_array().unwrap() {
            let mut kinds = dependency["dep_kinds"].as_array().unwrap().iter();
            if kinds.any(|k| k["kind"].is_null()) {
                next.push(words(dependency, "pkg").to_owned());
            }
        }
    }
    let name = |id: &&String| {
        metadata["packages"].as_array().unwrap().iter().find(|p| words(p, "id") == id.as_str())
    };
    let names: Vec<&str> =
        shipped.iter().filter_map(|id| name(&id)).map(|p| words(p, "name")).collect();
    assert!(names.len() > 40 && names.contains(&"yew"), "{names:?}");
    let banned: Vec<_> = names.iter().filter(|n| BANNED.contains(n)).collect();
    assert!(banned.is_empty(), "{banned:?}");
    println!("{} crates are shipped", names.len());
}
