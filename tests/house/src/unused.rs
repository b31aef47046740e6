//! No public item that no other file uses: it is private then, or dead.
//!
//! A use is a path or an import in another file, also in a file of tests or of another package, but not in the unit tests
//! of a file of code. A re-export is no use. A type in a public signature of its own file counts as used. A method is
//! used if any other file has its name. An item in a file that is compiled for unit tests is used if any other file has
//! its name apart from re-exports, in unit tests too.

use super::Violation;
use super::modules::{Code, Module};
use super::resolve::{Definition, resolve};
use super::source::{Kind, SourceFile, Token, Tree};
use super::workspace::Role;
use std::collections::{BTreeMap, BTreeSet};

/// Every public item that no other file uses.
#[must_use]
pub fn public_items(code: &Code, tree: &Tree) -> Vec<Violation> {
    let used = used_items(code);
    let names = names_by_file(code, tree);
    let mut found = BTreeSet::new();
    for module in &code.modules {
        for (name, item) in module.items.iter().filter(|(_, i)| i.is_public && !i.is_exported) {
            let is_used = used.contains(&(&module.file, name.clone()))
                || (is_also_of_tests(code, module) && is_in_unit_tests(tree, &module.file, name));
            if !is_used && !is_exposed(code, module, name) {
                let what = format!("`{name}` is public and no other file uses it");
                found.insert(Violation::at(&module.file, item.line, what));
            }
        }
        for (name, line) in &module.methods {
            let elsewhere =
                names.iter().any(|(file, names)| *file != module.file && names.contains(name));
            if !elsewhere {
                let what = format!("`{name}` is a public method and no other file uses it");
                found.insert(Violation::at(&module.file, *line, what));
            }
        }
    }
    found.into_iter().collect()
}

/// Whether a public signature of the same file names it.
fn is_exposed(code: &Code, module: &Module, name: &str) -> bool {
    code.modules.iter().any(|m| m.file == module.file && m.exposed.contains(name))
}

/// Whether its file is compiled for the unit tests of a package, perhaps beside another use as that of a benchmark.
fn is_also_of_tests(code: &Code, module: &Module) -> bool {
    code.modules.iter().any(|m| m.file == module.file && m.is_test)
}

/// Whether the unit tests of another file have this name.
fn is_in_unit_tests(tree: &Tree, file: &str, name: &str) -> bool {
    let count = |tokens: Vec<Token>| tokens.iter().filter(|t| t.is_name(name)).count();
    let has_more = |f: &SourceFile| count(f.tokens_with_tests()) > count(f.tokens());
    let is_root = |f: &SourceFile| f.path.ends_with("/mod.rs") || f.path.ends_with("/lib.rs");
    tree.rust("").any(|f| f.path != file && !is_root(f) && has_more(f))
}

/// The items that other files use.
fn used_items(code: &Code) -> BTreeSet<(&String, String)> {
    let mut used = BTreeSet::new();
    for (index, module) in code.modules.iter().enumerate() {
        let own = module.imports.iter().filter(|i| !i.is_reexport).map(|i| &i.path);
        for path in own.chain(module.uses.iter().map(|u| &u.path)) {
            // A longer path may use an item in its middle: a type by one of its functions.
            for definition in resolve(code, index, path) {
                let Definition::Item(at, name) = definition else { continue };
                let file = code.modules.get(at).map(|m| &m.file).filter(|f| **f != module.file);
                used.extend(file.map(|f| (f, name)));
            }
        }
    }
    used
}

fn is_for_tests(code: &Code, module: &Module) -> bool {
    module.is_test || code.crates.get(module.krate).is_some_and(|c| c.role == Role::Check)
}

/// All names in the code of each file.
fn names_by_file(code: &Code, tree: &Tree) -> BTreeMap<String, BTreeSet<String>> {
    let files: BTreeSet<&String> = code.modules.iter().map(|m| &m.file).collect();
    let names = |path: &String| {
        let file = tree.file(path)?;
        let is_of_tests = code.modules.iter().any(|m| m.file == *path && is_for_tests(code, m));
        let tokens = if is_of_tests { file.tokens_with_tests() } else { file.tokens() };
        let names = tokens.into_iter().filter(|t| t.kind == Kind::Name);
        Some((path.clone(), names.map(|t| t.text).collect()))
    };
    files.into_iter().filter_map(names).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layers::tests::code;

    fn found(files: &[(&str, &str)]) -> usize {
        let tree = Tree { files: files.iter().map(|(p, t)| SourceFile::written(p, t)).collect() };
        public_items(&code(files), &tree).len()
    }

    fn with(definition: &str, other: &str) -> usize {
        found(&[
            ("src/lib.rs", "pub mod a; mod b; pub use a::*;"),
            ("src/a.rs", definition),
            ("src/b.rs", other),
        ])
    }

    #[test]
    fn an_item_that_nobody_uses_is_found_whatever_it_is() {
        for definition in [
            "pub fn f() {}",
            "pub struct S;",
            "pub(crate) const C: u8 = 1;",
            "pub enum E { A } fn g(_: E) {}",
            "pub trait T {}",
            "pub type T = u8;",
            "pub static S: u8 = 1;",
            "struct S; impl S { pub fn method(&self) {} }",
            "pub fn f() {} #[cfg(test)] mod tests { fn t() { super::f(); } }",
        ] {
            assert_eq!(with(definition, ""), 1, "{definition}");
        }
    }

    #[test]
    fn a_re_export_and_a_unit_test_are_no_use() {
        assert_eq!(with("pub fn f() {}", "pub use crate::a::f;"), 1);
        assert_eq!(with("pub fn f() {}", "#[cfg(test)] mod tests { use crate::a::f; }"), 1);
    }

    #[test]
    fn a_unit_test_is_a_use_of_what_is_compiled_for_tests() {
        let noise = ("src/noise.rs", "pub fn noise() {}");
        let root =
            ("src/lib.rs", "#[cfg(test)] mod noise; mod b; #[cfg(test)] pub use noise::noise;");
        let user = ("src/b.rs", "#[cfg(test)] mod tests { use crate::noise; fn t() { noise(); } }");
        assert_eq!(found(&[root, noise, user]), 0);
        assert_eq!(found(&[root, noise, ("src/b.rs", "")]), 1);
    }

    #[test]
    fn a_use_is_seen_however_it_is_written() {
        for other in [
            "use crate::a::f;",
            "use super::a::f as g; fn h() { g() }",
            "use crate::*; fn h() { f() }",
            "use super::a; fn h() { a::f() }",
            "fn h() { html! { <p>{ crate::f() }</p> } }",
            "#[serde(default = \"crate::a::f\")] struct S;",
        ] {
            assert_eq!(with("pub fn f() {}", other), 0, "{other}");
        }
        assert_eq!(with("pub const C: u8 = 1;", "use crate::a::C; fn h() { format!(\"{C}\") }"), 0);
        assert_eq!(
            with("struct S; impl S { pub fn method(&self) {} }", "fn h() { x.method() }"),
            0
        );
        assert_eq!(with("pub struct S; pub fn f() -> S { S }", "use crate::f;"), 0);
        assert_eq!(with("#[wasm_bindgen] pub fn f() {}", ""), 0);
    }

    #[test]
    fn another_package_and_an_integration_test_are_uses_also_by_another_name() {
        for other in ["use mechanics::f;", "use renamed::a::*; fn g() { f() }"] {
            let files = [("src/lib.rs", "pub mod a; pub use a::f;"), ("src/a.rs", "pub fn f() {}")];
            let app = ("app/src/lib.rs", other);
            let check = ("app/tests/checks.rs", other);
            assert_eq!(found(&[files[0], files[1], app]), 0, "{other}");
            assert_eq!(found(&[files[0], files[1], check]), 0, "{other}");
            assert_eq!(found(&files), 1);
        }
    }
}
