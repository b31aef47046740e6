//! The layers inside a crate: a file uses only definitions of its own layer and of those below.

use super::Violation;
use super::circles::targets;
use super::modules::{Code, Module};
use super::workspace::Role;

/// The layers of a crate, lowest first; those of one row are on one level.
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

/// Every place where a layer uses one above it, and every module outside of the layers.
#[must_use]
pub fn upward(code: &Code, package: &str, layers: Layers) -> Vec<Violation> {
    let mut found = Vec::new();
    for (index, module) in code.modules.iter().enumerate() {
        let krate = code.crate_of(index);
        if module.is_test || krate.is_none_or(|c| c.package != package || c.role != Role::Library) {
            continue;
        }
        let Some(own) = module.path.first() else { continue };
        let Some(own_rank) = rank(layers, module) else {
            let what = format!("`{own}` is not a layer of this crate");
            found.push(Violation::at(&module.file, 0, what));
            continue;
        };
        for (target, line) in targets(code, index) {
            let Some(used) = code.modules.get(target.module()) else { continue };
            // The root of the crate is above all layers.
            let is_above = rank(layers, used).is_none_or(|r| r > own_rank);
            if used.krate == module.krate && is_above {
                let above = used.path.first().map_or("crate", String::as_str);
                let what = format!("`{own}` uses `{above}`, which is above it");
                found.push(Violation::at(&module.file, line, what));
            }
        }
    }
    found.sort();
    found.dedup();
    found
}

fn rank(layers: Layers, module: &Module) -> Option<usize> {
    let layer = module.path.first()?;
    layers.iter().position(|row| row.contains(&layer.as_str()))
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::source::{SourceFile, Tree};
    use crate::workspace::{Dependency, Package, Target, Workspace};
    use std::collections::BTreeMap;

    /// The code of one library `mechanics`, and of the other packages whose files are under their names.
    pub fn code(files: &[(&str, &str)]) -> Code {
        let tree = Tree { files: files.iter().map(|(p, t)| SourceFile::written(p, t)).collect() };
        Code::read(&tree, &workspace(files))
    }

    fn workspace(files: &[(&str, &str)]) -> Workspace {
        let mut targets: BTreeMap<String, Vec<Target>> = BTreeMap::new();
        for (path, _) in files {
            let (folder, rest) = path.split_once('/').unwrap_or(("", path));
            let (name, rest) = if folder == "src" { ("mechanics", *path) } else { (folder, rest) };
            let role = match rest {
                "src/lib.rs" => Role::Library,
                "src/main.rs" => Role::Program,
                "tests/checks.rs" => Role::Check,
                _ => continue,
            };
            let target = Target { name: name.to_owned(), root: (*path).to_owned(), role };
            targets.entry(name.to_owned()).or_default().push(target);
        }
        let dependency = |name: &str, package: &str| Dependency {
            package: package.to_owned(),
            name: name.to_owned(),
            is_for_tests: false,
            platform: None,
        };
        let packages = targets.into_iter().map(|(name, targets)| Package {
            manifest: String::new(),
            dependencies: vec![
                dependency("mechanics", "mechanics"),
                dependency("renamed", "mechanics"),
            ],
            targets,
            name,
        });
        Workspace { packages: packages.collect() }
    }

    const ROOT: &str = "pub mod space; pub mod gait; pub mod analysis; pub mod error; pub mod note;
        pub use analysis::Deep; pub use error::{Error, Other}; pub use gait as renamed;";

    fn found(path: &str, text: &str) -> Vec<Violation> {
        let modules = ["space", "gait", "analysis", "error", "note"];
        let definitions = [
            "pub struct Point;",
            "pub struct Event; pub fn g() {} pub enum Kind { First, Second }",
            "pub struct Deep;",
            "pub struct Error; pub struct Other;",
            "pub struct Note;",
        ];
        let mut files = vec![("src/lib.rs".to_owned(), ROOT.to_owned())];
        for (name, text) in modules.iter().zip(definitions) {
            files.push((format!("src/{name}/mod.rs"), format!("mod part; {text}")));
            let part = format!("src/{name}/part.rs");
            files.push((
                part.clone(),
                if part == path { text_of(path, text) } else { String::new() },
            ));
        }
        let files: Vec<(&str, &str)> =
            files.iter().map(|(p, t)| (p.as_str(), t.as_str())).collect();
        let files: Vec<(&str, &str)> =
            files.into_iter().map(|(p, t)| if p == path { (p, text) } else { (p, t) }).collect();
        upward(&code(&files), "mechanics", MECHANICS)
    }

    fn text_of(_: &str, text: &str) -> String {
        text.to_owned()
    }

    #[test]
    fn a_lower_layer_that_uses_a_higher_one_is_found_however_it_is_written() {
        for text in [
            "use crate::gait::Event;",
            "use crate::{error::Error, gait::{Event}};",
            "use crate::gait::Event as Other; fn f(_: Other) {}",
            "use super::super::gait::g;",
            "use crate::gait; fn f() { gait::g(); }",
            "use crate::gait as lower; fn f() { lower::g(); }",
            "use crate::gait::*;",
            "use crate::gait::Kind::*; fn f() { First; }",
            "use crate::*;",
            "fn f() { crate::gait::g(); }",
            "fn f() { html! { <a b={crate::gait::g()} /> } }",
            "use crate::Deep;",
            "use crate::renamed::Event;",
        ] {
            assert!(!found("src/space/part.rs", text).is_empty(), "{text}");
        }
    }

    #[test]
    fn a_higher_layer_may_use_a_lower_one_and_a_module_its_own_parts() {
        for text in [
            "use crate::space::Point; use super::Event; use super::super::error::Error;",
            "use crate::{Error, note::Note, space::{self, Point as P}}; fn f(_: space::Point) {}",
            "#[cfg(test)] mod tests { use crate::analysis::Deep; }",
        ] {
            assert_eq!(found("src/gait/part.rs", text), [], "{text}");
        }
    }

    #[test]
    fn a_module_outside_of_the_layers_is_found() {
        let files = [("src/lib.rs", "mod util;"), ("src/util.rs", "")];
        assert_eq!(upward(&code(&files), "mechanics", MECHANICS).len(), 1);
    }
}
