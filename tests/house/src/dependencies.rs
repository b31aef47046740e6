//! Which package may depend on which, and which may not know the browser; read from cargo's own view of the manifests.

use super::Violation;
use super::workspace::{Dependency, Package, Workspace};

/// The packages of the workspace and those that each may depend on.
const ALLOWED: [(&str, &[&str]); 14] = [
    ("mechanics", &[]),
    ("tracking", &[]),
    ("demo-clips", &[]),
    ("site", &[]),
    ("document", &["mechanics"]),
    ("media", &["mechanics"]),
    ("jobs", &["document", "mechanics", "media", "tracking"]),
    ("worker", &["document", "jobs", "mechanics", "media", "tracking"]),
    ("worker-program", &["worker"]),
    // The page asks the worker, and tracks nothing itself.
    ("page", &["document", "jobs", "mechanics", "media"]),
    // The rules know the sources and nothing else.
    ("house", &[]),
    ("journeys", &["document", "mechanics", "media", "site"]),
    ("native_wasm", &["site", "tracking"]),
    ("fuzz", &["document", "jobs", "mechanics", "media"]),
];

/// What the tests of a package may depend on besides.
const ALLOWED_IN_TESTS: [(&str, &[&str]); 1] = [("media", &["document"])];

/// Packages that know no browser.
const PURE: [&str; 6] = ["mechanics", "tracking", "demo-clips", "document", "media", "jobs"];

/// Crates that are the browser, or lead to it; `gloo` stands for all of its parts.
const BROWSER: [&str; 9] = [
    "yew",
    "web-sys",
    "js-sys",
    "wasm-bindgen",
    "wasm-bindgen-futures",
    "wasm-bindgen-test",
    "serde-wasm-bindgen",
    "gloo",
    "idb",
];

/// Every dependency between packages of the workspace that is not allowed, and every package without an entry.
#[must_use]
pub fn between_packages(workspace: &Workspace) -> Vec<Violation> {
    workspace.packages.iter().flat_map(|package| not_allowed(workspace, package)).collect()
}

fn not_allowed(workspace: &Workspace, package: &Package) -> Vec<Violation> {
    let Some((_, allowed)) = ALLOWED.iter().find(|(name, _)| *name == package.name) else {
        let what = format!("`{}` has no entry: say which packages it may depend on", package.name);
        return vec![Violation::at(&package.manifest, 0, what)];
    };
    let is_ours = |d: &&Dependency| workspace.package(&d.package).is_some();
    let in_tests = ALLOWED_IN_TESTS.iter().find(|(name, _)| *name == package.name);
    let in_tests = in_tests.map_or(&[][..], |(_, packages)| *packages);
    let wrong = |d: &&Dependency| {
        let name = d.package.as_str();
        !(allowed.contains(&name) || d.is_for_tests && in_tests.contains(&name))
    };
    let found = package.dependencies.iter().filter(is_ours).filter(wrong);
    found.map(|d| violation(package, d, "which is not among its allowed dependencies")).collect()
}

/// Every dependency of a pure package on the browser.
#[must_use]
pub fn browser_in_pure_packages(workspace: &Workspace) -> Vec<Violation> {
    let pure = workspace.packages.iter().filter(|p| PURE.contains(&p.name.as_str()));
    pure.flat_map(|package| {
        let found = package.dependencies.iter().filter(|d| is_browser(&d.package));
        found.map(|d| violation(package, d, "which is the browser's: this package is pure"))
    })
    .collect()
}

fn is_browser(package: &str) -> bool {
    BROWSER.contains(&package) || package.starts_with("gloo-")
}

fn violation(package: &Package, dependency: &Dependency, why: &str) -> Violation {
    let name = &dependency.package;
    let alias = dependency.name.replace('_', "-");
    let alias = if alias == *name { String::new() } else { format!(" as `{alias}`") };
    let platform = dependency.platform.as_ref().map(|p| format!(" for {p}")).unwrap_or_default();
    let tests = if dependency.is_for_tests { " in its tests" } else { "" };
    let what = format!("`{}` depends on `{name}`{alias}{platform}{tests}, {why}", package.name);
    Violation::at(&package.manifest, 0, what)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    /// A workspace of two packages, the first with these lines in its manifest.
    fn workspace(names: [&str; 2], lines: &str) -> Workspace {
        let folder = tempfile::tempdir().unwrap();
        let root = folder.path();
        let write = |path: &str, text: &str| {
            let path = root.join(path);
            std::fs::create_dir_all(path.parent().unwrap_or(Path::new(""))).unwrap();
            std::fs::write(path, text).unwrap();
        };
        let members = format!(
            "[workspace]\nresolver = \"3\"\nmembers = [\"{}\", \"{}\"]\n",
            names[0], names[1]
        );
        let shared = format!("{} = {{ path = \"{}\" }}\nyew = \"0.23\"\n", names[1], names[1]);
        write("Cargo.toml", &format!("{members}[workspace.dependencies]\n{shared}"));
        for name in names {
            let manifest =
                format!("[package]\nname = \"{name}\"\nversion = \"0.1.0\"\nedition = \"2024\"\n");
            let lines = if name == names[0] { lines } else { "" };
            write(&format!("{name}/Cargo.toml"), &format!("{manifest}{lines}"));
            write(&format!("{name}/src/lib.rs"), "");
        }
        Workspace::read(root).unwrap()
    }

    #[test]
    fn a_dependency_that_is_not_allowed_is_found_in_every_form() {
        for lines in [
            "[dependencies]\nmechanics = { path = \"../mechanics\" }\n",
            "[dependencies]\nmechanics.workspace = true\n",
            "[dependencies.mechanics]\nworkspace = true\n",
            "[dependencies]\nbody = { path = \"../mechanics\", package = \"mechanics\" }\n",
            "[dependencies.body]\npackage = \"mechanics\"\npath = \"../mechanics\"\n",
            "[dev-dependencies]\nmechanics = { workspace = true }\n",
            "[build-dependencies]\nmechanics = { workspace = true }\n",
            "[target.'cfg(unix)'.dependencies]\nmechanics = { workspace = true }\n",
            "[target.wasm32-unknown-unknown.dev-dependencies.body]\npackage = \"mechanics\"\npath = \"../mechanics\"\n",
            "[dependencies]\nmechanics = { path = \"../mechanics\", optional = true }\n",
        ] {
            let found = between_packages(&workspace(["tracking", "mechanics"], lines));
            assert_eq!(found.len(), 1, "{lines}");
        }
        assert_eq!(between_packages(&workspace(["tracking", "mechanics"], "")), []);
        let allowed = "[dependencies]\nmechanics.workspace = true\n";
        assert_eq!(between_packages(&workspace(["document", "mechanics"], allowed)), []);
    }

    #[test]
    fn a_package_without_an_entry_is_found() {
        assert_eq!(between_packages(&workspace(["newcomer", "mechanics"], "")).len(), 1);
    }

    #[test]
    fn the_browser_in_a_pure_package_is_found_in_every_form() {
        for lines in [
            "[dependencies]\nyew = \"0.23\"\n",
            "[dependencies]\nyew.workspace = true\n",
            "[dependencies.web-sys]\nversion = \"0.3\"\nfeatures = [\"Blob\"]\n",
            "[dependencies]\npages = { package = \"yew\", version = \"0.23\" }\n",
            "[dev-dependencies]\nwasm-bindgen-test = \"0.3\"\n",
            "[target.'cfg(target_arch = \"wasm32\")'.dependencies]\njs-sys = \"0.3\"\n",
            "[dependencies]\ngloo-timers = \"0.3\"\n",
        ] {
            let found = browser_in_pure_packages(&workspace(["tracking", "mechanics"], lines));
            assert_eq!(found.len(), 1, "{lines}");
            let page = browser_in_pure_packages(&workspace(["page", "mechanics"], lines));
            assert_eq!(page, [], "{lines}");
        }
    }
}
