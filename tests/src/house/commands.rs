//! The README names every command that exists, and no command that does not.

use super::Violation;
use super::source::{SourceFile, Tree};

const README: &str = "README.md";

/// Every command that the README does not name, and every one it names that is not there.
#[must_use]
pub fn readme(tree: &Tree) -> Vec<Violation> {
    let words = tree.file(README).map(SourceFile::words).unwrap_or_default();
    let unnamed = commands(tree)
        .into_iter()
        .filter(|c| !words.contains(c.as_str()))
        .map(|c| Violation::at(README, 0, format!("does not name `{c}`, which can be run")));
    let named = words.split(|c: char| c.is_whitespace() || c == '`');
    let gone = named
        .filter_map(|w| w.strip_prefix("./"))
        .map(|w| w.trim_end_matches(['.', ',', ':', ';', ')']))
        .filter(|w| tree.file(w).is_none_or(|f| !f.executable))
        .map(|w| Violation::at(README, 0, format!("names `./{w}`, which cannot be run")));
    unnamed.chain(gone).collect()
}

/// Executable files by path, and crates that make a program of their own by `-p name`.
fn commands(tree: &Tree) -> Vec<String> {
    let scripts = tree.files.iter().filter(|f| f.executable).map(|f| f.path.clone());
    let programs = tree
        .files
        .iter()
        .filter_map(|f| f.path.strip_suffix("/src/main.rs"))
        .filter(|folder| *folder != "www/site" && *folder != "tests")
        .map(|folder| format!("-p {folder}"));
    scripts.chain(programs).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tree(readme: &str) -> Tree {
        let mut script = SourceFile::written("www/serve", "#!/bin/sh\n");
        script.executable = true;
        let program = SourceFile::written("demo-clips/src/main.rs", "");
        Tree { files: vec![SourceFile::written(README, readme), script, program] }
    }

    #[test]
    fn a_command_that_is_not_named_is_found() {
        assert_eq!(super::readme(&tree("`./www/serve`, `cargo run -p demo-clips`")), []);
        assert_eq!(super::readme(&tree("`./www/serve`")).len(), 1);
        assert_eq!(super::readme(&tree("cargo run -p demo-clips")).len(), 1);
    }

    #[test]
    fn a_command_that_does_not_exist_is_found() {
        let words = "./www/serve cargo run -p demo-clips ./www/gone";
        assert_eq!(super::readme(&tree(words)).len(), 1);
    }
}
