//! The agreed top level, the sources of the fixtures, and nothing that a clone does not have.

use super::Violation;
use super::source::{SourceFile, Tree};
use std::collections::BTreeSet;

/// The entries of the top level.
const TOP: [&str; 18] = [
    ".cargo",
    ".ci",
    ".gitignore",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE-APACHE",
    "LICENSE-MIT",
    "README.md",
    "app",
    "clippy.toml",
    "demo-clips",
    "mechanics",
    "rust-toolchain.toml",
    "rustfmt.toml",
    "tests",
    "tracking",
    "www",
];
/// The folder of the fixtures.
const FIXTURES: &str = "tests/reference/fixtures/";
/// The list of their sources.
const SOURCES: &str = "tests/reference/fixtures/SOURCES.md";

/// Everything at the top level that is not agreed.
#[must_use]
pub fn top_level(tree: &Tree) -> Vec<Violation> {
    let tops: BTreeSet<&str> = tree.files.iter().map(SourceFile::crate_folder).collect();
    tops.into_iter()
        .filter(|t| !TOP.contains(t) && *t != ".git")
        .map(|t| Violation::at(t, 0, "is not one of the agreed entries of the top level"))
        .collect()
}

/// Every fixture without a source, and every source whose fixture is gone.
#[must_use]
pub fn fixtures(tree: &Tree) -> Vec<Violation> {
    let fixtures = || {
        tree.files
            .iter()
            .filter_map(|f| f.path.strip_prefix(FIXTURES))
            .filter(|name| *name != "SOURCES.md")
    };
    let sources = tree.file(SOURCES).map(SourceFile::text).unwrap_or_default();
    let named: BTreeSet<&str> =
        sources.split('`').skip(1).step_by(2).filter(|n| n.contains('.')).collect();
    let unnamed = fixtures()
        .filter(|name| !named.contains(name))
        .map(|name| Violation::at(&format!("{FIXTURES}{name}"), 0, "is not named in SOURCES.md"));
    let first_cells = sources.lines().filter_map(|l| l.strip_prefix("| `")?.split('`').next());
    let gone = first_cells
        .filter(|name| !fixtures().any(|f| f == *name))
        .map(|name| Violation::at(SOURCES, 0, format!("names `{name}`, which does not exist")));
    unnamed.chain(gone).collect()
}

/// Every file outside of `tests` that uses the folder beside the project.
#[must_use]
pub fn uses_folder_beside(tree: &Tree) -> Vec<Violation> {
    let beside = concat!("..", "/shared");
    let mut found = Vec::new();
    for file in tree.files.iter().filter(|f| !is_a_test(&f.path)) {
        for (number, line) in file.text().lines().enumerate() {
            if line.contains(beside) {
                let what = "names the folder beside the project, which a clone does not have";
                found.push(Violation::at(&file.path, number + 1, what));
            }
        }
    }
    found
}

fn is_a_test(path: &str) -> bool {
    path.split('/').rev().skip(1).any(|folder| folder == "tests")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tree(files: &[(&str, &str)]) -> Tree {
        Tree { files: files.iter().map(|(p, t)| SourceFile::written(p, t)).collect() }
    }

    #[test]
    fn an_unknown_entry_at_the_top_is_found() {
        assert_eq!(top_level(&tree(&[("notes.txt", ""), ("app/src/lib.rs", "")])).len(), 1);
    }

    #[test]
    fn a_fixture_without_a_source_and_a_source_without_a_fixture_are_found() {
        let sources = ("tests/reference/fixtures/SOURCES.md", "| `a.json` | made by hand |\n");
        let fixture = ("tests/reference/fixtures/a.json", "");
        assert_eq!(fixtures(&tree(&[sources, fixture])), []);
        assert_eq!(fixtures(&tree(&[fixture])).len(), 1);
        assert_eq!(fixtures(&tree(&[sources])).len(), 1);
    }

    #[test]
    fn only_tests_may_use_the_folder_beside_the_project() {
        let text = concat!("read(\"..", "/shared/clips\")");
        assert_eq!(uses_folder_beside(&tree(&[("app/src/a.rs", text)])).len(), 1);
        assert_eq!(uses_folder_beside(&tree(&[("tests/tests/a.rs", text)])), []);
        assert_eq!(uses_folder_beside(&tree(&[("tracking/tests/a.rs", text)])), []);
    }
}
