//! Who may import whom: between the crates, and between the layers inside a crate.

use super::Violation;
use super::source::{Kind, SourceFile, Token, Tree};
use std::collections::BTreeMap;

/// The layers of a crate, lowest first; those of one row stand beside each other.
pub type Layers = &'static [&'static [&'static str]];

/// Layers of `mechanics`.
pub const MECHANICS: Layers = &[
    &["limits", "note", "source"],
    // Means and quantiles, which everything above may need.
    &["statistics"],
    &["space"],
    &["landmark"],
    // An error names a landmark.
    &["error"],
    &["calibration"],
    &["signal"],
    &["body"],
    &["gait"],
    &["measures"],
    &["analysis"],
    // A comparison takes two analyses.
    &["comparison"],
];
/// Layers of `tracking`.
pub const TRACKING: Layers =
    &[&["error"], &["scales"], &["image"], &["point"], &["camera"], &["track"]];
/// Layers of `app`.
pub const APP: Layers =
    &[&["session"], &["results"], &["media"], &["jobs"], &["browser"], &["ui"], &["bin"]];

/// Which crates of the workspace each crate may depend on.
const CRATES: [(&str, &[&str]); 7] = [
    ("mechanics", &[]),
    ("tracking", &[]),
    ("demo-clips", &[]),
    ("www/site", &[]),
    ("app", &["mechanics", "tracking"]),
    ("app/worker", &["app"]),
    ("tests/probe", &["tracking", "site"]),
];

/// Every place where a layer names a layer above it.
#[must_use]
pub fn upward(tree: &Tree, folder: &str, layers: Layers) -> Vec<Violation> {
    let src = format!("{folder}/src/");
    let lent = tree.file(&format!("{src}lib.rs")).map(lent_names).unwrap_or_default();
    tree.rust(&src).flat_map(|file| upward_in(file, &src, layers, &lent)).collect()
}

fn upward_in(
    file: &SourceFile,
    src: &str,
    layers: Layers,
    lent: &BTreeMap<String, String>,
) -> Vec<Violation> {
    let module = module_path(&file.path, src);
    let Some(own) = module.first() else { return Vec::new() };
    let Some(own_rank) = rank(layers, own) else {
        return vec![Violation::at(&file.path, 0, format!("`{own}` is not a layer of this crate"))];
    };
    let mut found = Vec::new();
    for (name, line) in roots(&file.tokens(), &module) {
        let layer = lent.get(&name).unwrap_or(&name);
        if rank(layers, layer).is_some_and(|r| r > own_rank) {
            let what = format!("`{own}` names `{layer}`, which stands above it");
            found.push(Violation::at(&file.path, line, what));
        }
    }
    found
}

fn rank(layers: Layers, layer: &str) -> Option<usize> {
    layers.iter().position(|row| row.contains(&layer))
}

/// `a/src/b/c.rs` is the module `b::c`, `a/src/b/mod.rs` is `b`; the root of a crate has no name.
fn module_path(path: &str, src: &str) -> Vec<String> {
    let inside = path.strip_prefix(src).unwrap_or(path).trim_end_matches(".rs");
    let mut parts: Vec<String> = inside.split('/').map(str::to_owned).collect();
    if parts.last().is_some_and(|p| ["mod", "lib", "main"].contains(&p.as_str())) {
        parts.pop();
    }
    parts
}

/// Names that the crate's root lends from a layer: `pub use error::Error` lends `Error`.
fn lent_names(root: &SourceFile) -> BTreeMap<String, String> {
    let tokens = root.tokens();
    let mut lent = BTreeMap::new();
    for (i, token) in tokens.iter().enumerate() {
        if !token.is_name("use") {
            continue;
        }
        let line: Vec<&Token> = tokens.iter().skip(i + 1).take_while(|t| !t.is_sign(";")).collect();
        let mut names = line.iter().filter(|t| t.kind == Kind::Name && t.text != "crate");
        if let Some(layer) = names.next() {
            lent.extend(names.map(|n| (n.text.clone(), layer.text.clone())));
        }
    }
    lent
}

/// The first name below the crate's root of every path that begins at `crate`, `super` or `app`.
fn roots(tokens: &[Token], module: &[String]) -> Vec<(String, usize)> {
    let mut found = Vec::new();
    for (i, token) in tokens.iter().enumerate() {
        let continues = i >= 2
            && tokens.get(i - 1).is_some_and(|t| t.is_sign(":"))
            && tokens.get(i - 2).is_some_and(|t| t.is_sign(":"));
        if continues || !(token.is_name("crate") || token.is_name("super")) {
            continue;
        }
        let mut up = usize::from(token.is_name("super"));
        let mut at = i + 1;
        while path_goes_on(tokens, at) && tokens.get(at + 2).is_some_and(|t| t.is_name("super")) {
            up += 1;
            at += 3;
        }
        if token.is_name("super") && up < module.len() {
            continue;
        }
        if path_goes_on(tokens, at) {
            found.extend(first_names(tokens.get(at + 2..).unwrap_or_default()));
        }
    }
    found
}

fn path_goes_on(tokens: &[Token], at: usize) -> bool {
    tokens.get(at).is_some_and(|t| t.is_sign(":"))
        && tokens.get(at + 1).is_some_and(|t| t.is_sign(":"))
}

/// `a::b` begins with `a`; `{a::b, c}` begins with `a` and with `c`.
fn first_names(tokens: &[Token]) -> Vec<(String, usize)> {
    let Some(first) = tokens.first() else { return Vec::new() };
    if first.kind == Kind::Name {
        return vec![(first.text.clone(), first.line)];
    }
    let mut depth = 0_usize;
    let mut expected = true;
    let mut found = Vec::new();
    for token in tokens {
        match token.kind {
            Kind::Open => depth += 1,
            Kind::Close => depth = depth.saturating_sub(1),
            Kind::Name if depth == 1 && expected => {
                found.push((token.text.clone(), token.line));
                expected = false;
            }
            Kind::Sign if depth == 1 && token.text == "," => expected = true,
            _ => {}
        }
        if depth == 0 {
            break;
        }
    }
    found
}

/// Every dependency between the crates of the workspace that is not agreed.
#[must_use]
pub fn between_crates(tree: &Tree) -> Vec<Violation> {
    let mut found = Vec::new();
    for (folder, allowed) in CRATES {
        let path = format!("{folder}/Cargo.toml");
        let Some(manifest) = tree.file(&path) else { continue };
        let mut section = "";
        for (number, line) in manifest.words().lines().enumerate() {
            if line.starts_with('[') {
                section = line.trim();
                continue;
            }
            let name = line.split(['=', '.', ' ']).next().unwrap_or_default().trim_matches('"');
            let ours = ["mechanics", "tracking", "app", "demo-clips", "site", "checks", "probe"];
            if section.contains("dependencies") && ours.contains(&name) && !allowed.contains(&name)
            {
                let what = format!("`{folder}` may not depend on `{name}`");
                found.push(Violation::at(&path, number + 1, what));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tree(path: &str, text: &str) -> Tree {
        let root = SourceFile::written(
            "mechanics/src/lib.rs",
            "pub mod space; pub use analysis::Deep; pub use error::{Error, Other};",
        );
        Tree { files: vec![root, SourceFile::written(path, text)] }
    }

    #[test]
    fn a_lower_layer_that_names_a_higher_one_is_found_however_it_is_written() {
        for text in [
            "use crate::gait::Event;",
            "use crate::{error::Error, gait::Event};",
            "use super::super::gait;",
            "fn f() { crate::gait::g(); }",
            "fn f() { html! { <a b={crate::gait::g()} /> } }",
            "use crate::Deep;",
        ] {
            let found = upward(&tree("mechanics/src/space/point.rs", text), "mechanics", MECHANICS);
            assert_eq!(found.len(), 1, "{text}");
        }
    }

    #[test]
    fn a_higher_layer_may_name_a_lower_one_and_a_module_its_own_parts() {
        for text in [
            "use crate::space::Point; use super::event::Event; use super::super::space::Side;",
            "use crate::{Error, note::Note, signal::{Series, gap}}; use self::x::y;",
            "#[cfg(test)] mod tests { use crate::analysis::analyse; }",
        ] {
            let found = upward(&tree("mechanics/src/gait/stride.rs", text), "mechanics", MECHANICS);
            assert_eq!(found, [], "{text}");
        }
    }

    #[test]
    fn a_file_outside_the_layers_is_found() {
        let found = upward(&tree("mechanics/src/util.rs", ""), "mechanics", MECHANICS);
        assert_eq!(found.len(), 1);
    }

    #[test]
    fn a_crate_that_depends_on_one_it_must_not_know_is_found() {
        let manifest =
            |text: &str| Tree { files: vec![SourceFile::written("tracking/Cargo.toml", text)] };
        let bad = "[dependencies]\nthiserror = \"2\"\nmechanics = { workspace = true }\n";
        assert_eq!(between_crates(&manifest(bad)).len(), 1);
        let also_bad = "[dev-dependencies]\nmechanics.workspace = true\n";
        assert_eq!(between_crates(&manifest(also_bad)).len(), 1);
        let good = "[package]\nname = \"tracking\"\n[dependencies]\nthiserror = \"2\"\n";
        assert_eq!(between_crates(&manifest(good)), []);
    }
}
