//! What may stand where: the agreed top level, the fixtures and their sources, the folder beside the project.

use super::Violation;
use super::source::{SourceFile, Tree};
use std::collections::BTreeSet;

/// What may stand at the top.
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
/// Where the fixtures stand.
const FIXTURES: &str = "tests/fixtures/";
/// Where their sources are written down.
const SOURCES: &str = "tests/fixtures/SOURCES.md";

/// Everything at the top that is not agreed.
#[must_use]
pub fn top_level(tree: &Tree) -> Vec<Violation> {
    let tops: BTreeSet<&str> = tree.files.iter().map(SourceFile::crate_folder).collect();
    tops.into_iter()
        .filter(|t| !TOP.contains(t) && *t != ".git")
        .map(|t| Violation::at(t, 0, "is not one of the agreed entries of the top level"))
        .collect()
}

/// Every fixture whose origin is not written down, and every origin whose fixture is gone.
#[must_use]
pub fn fixtures(tree: &Tree) -> Vec<Violation> {
    let fixtures = || {
        tree.files
            .iter()
            .filter_map(|f| f.path.strip_prefix(FIXTURES))
            .filter(|name| *name != "SOURCES.md")
    };
    let sources = tree.file(SOURCES).map(SourceFile::words).unwrap_or_default();
    let named: BTreeSet<&str> =
        sources.split('`').skip(1).step_by(2).filter(|n| n.contains('.')).collect();
    let unnamed = fixtures()
        .filter(|name| !named.contains(name))
        .map(|name| Violation::at(&format!("{FIXTURES}{name}"), 0, "is not named in SOURCES.md"));
    let first_cells = sources.lines().filter_map(|l| l.strip_prefix("| `")?.split('`').next());
    let gone = first_cells
        .filter(|name| !fixtures().any(|f| f == *name))
        .map(|name| Violation::at(SOURCES, 0, format!("names `{name}`, which is not there")));
    unnamed.chain(gone).collect()
}

/// Every file outside of `tests` that leans on the folder beside the project.
#[must_use]
pub fn leans_on_what_is_not_kept(tree: &Tree) -> Vec<Violation> {
    let beside = concat!("..", "/shared");
    let mut found = Vec::new();
    for file in tree.files.iter().filter(|f| !is_a_test(&f.path)) {
        for (number, line) in file.words().lines().enumerate() {
            if line.contains(beside) {
                let what = "names the folder beside the project, which a clone has not";
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
    fn a_stranger_at_the_top_is_found() {
        assert_eq!(top_level(&tree(&[("notes.txt", ""), ("app/src/lib.rs", "")])).len(), 1);
    }

    #[test]
    fn a_fixture_without_a_source_and_a_source_without_a_fixture_are_found() {
        let sources = ("tests/fixtures/SOURCES.md", "| `a.json` | made by hand |\n");
        let fixture = ("tests/fixtures/a.json", "");
        assert_eq!(fixtures(&tree(&[sources, fixture])), []);
        assert_eq!(fixtures(&tree(&[fixture])).len(), 1);
        assert_eq!(fixtures(&tree(&[sources])).len(), 1);
    }

    #[test]
    fn the_folder_beside_the_project_may_be_named_in_tests_only() {
        let text = concat!("read(\"..", "/shared/clips\")");
        assert_eq!(leans_on_what_is_not_kept(&tree(&[("app/src/a.rs", text)])).len(), 1);
        assert_eq!(leans_on_what_is_not_kept(&tree(&[("tests/tests/a.rs", text)])), []);
        assert_eq!(leans_on_what_is_not_kept(&tree(&[("tracking/tests/a.rs", text)])), []);
    }
}
