//! No file imports itself through others.
//!
//! A file uses the files that define what its code names, wherever it imports the name from. A `pub use` only passes a
//! name on: it is no use of it. A glob uses the file of the module too, as it takes whatever stands there.

use super::Violation;
use super::modules::Code;
use super::resolve::{Definition, resolve};
use super::workspace::Role;
use std::collections::{BTreeMap, BTreeSet};

/// The files that each file uses, with the line of the first use.
type Uses = BTreeMap<String, BTreeMap<String, usize>>;

/// The uses between the files of each crate, integration tests apart.
fn uses_between_files(code: &Code) -> Uses {
    let mut uses = Uses::new();
    for (index, module) in code.modules.iter().enumerate() {
        if module.is_test || code.crate_of(index).is_none_or(|c| c.role == Role::Check) {
            continue;
        }
        for (target, line) in targets(code, index) {
            let used = code.modules.get(target.module()).filter(|m| m.krate == module.krate);
            let Some(used) = used.filter(|m| m.file != module.file) else { continue };
            let lines = uses.entry(module.file.clone()).or_default();
            lines.entry(used.file.clone()).or_insert(line);
        }
    }
    uses
}

/// The definitions that the code of a module uses; modules only by a glob.
pub(crate) fn targets(code: &Code, index: usize) -> Vec<(Definition, usize)> {
    let Some(module) = code.modules.get(index) else { return Vec::new() };
    let own = module.imports.iter().filter(|i| !i.is_reexport).map(|i| (&i.path, i.line));
    let named = own.chain(module.uses.iter().map(|u| (&u.path, u.line)));
    let mut found = Vec::new();
    for (path, line) in named {
        let items = resolve(code, index, path).into_iter();
        found.extend(items.filter(|d| matches!(d, Definition::Item(..))).map(|d| (d, line)));
    }
    for glob in module.globs.iter().filter(|g| !g.is_reexport) {
        found.extend(resolve(code, index, &glob.path).into_iter().map(|d| (d, glob.line)));
    }
    found
}

/// Every group of files that import each other, named once, with a shortest way round.
#[must_use]
pub fn circles(code: &Code) -> Vec<Violation> {
    let uses = uses_between_files(code);
    let (mut found, mut done) = (Vec::new(), BTreeSet::new());
    for start in uses.keys() {
        if done.contains(start) {
            continue;
        }
        let Some(way) = way_round(&uses, start) else { continue };
        let group: Vec<String> = reachable(&uses, start)
            .into_iter()
            .filter(|file| reachable(&uses, file).contains(start))
            .collect();
        let line = uses.get(start).zip(way.get(1)).and_then(|(lines, next)| lines.get(next));
        let what = format!("imports itself, in a group of {}: {}", group.len(), way.join(" → "));
        found.push(Violation::at(start, line.copied().unwrap_or(0), what));
        done.extend(group);
    }
    found
}

/// Every file that a file uses, directly or through others.
fn reachable(uses: &Uses, start: &str) -> BTreeSet<String> {
    let mut seen = BTreeSet::new();
    let mut next = vec![start.to_owned()];
    while let Some(file) = next.pop() {
        for used in uses.get(&file).into_iter().flat_map(BTreeMap::keys) {
            if seen.insert(used.clone()) {
                next.push(used.clone());
            }
        }
    }
    seen
}

/// The shortest way from a file back to itself.
fn way_round(uses: &Uses, start: &str) -> Option<Vec<String>> {
    let mut before: BTreeMap<String, String> = BTreeMap::new();
    let mut edge = vec![start.to_owned()];
    while !edge.is_empty() {
        let mut next = Vec::new();
        for file in edge {
            for used in uses.get(&file).into_iter().flat_map(BTreeMap::keys) {
                if used == start {
                    return Some(traced(&before, start, &file));
                }
                if !before.contains_key(used) {
                    before.insert(used.clone(), file.clone());
                    next.push(used.clone());
                }
            }
        }
        edge = next;
    }
    None
}

fn traced(before: &BTreeMap<String, String>, start: &str, last: &str) -> Vec<String> {
    let mut way = vec![start.to_owned()];
    let mut at = last.to_owned();
    while at != start {
        way.push(at.clone());
        let Some(earlier) = before.get(&at) else { break };
        at.clone_from(earlier);
    }
    way.push(start.to_owned());
    way.reverse();
    way
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layers::tests::code;

    /// Two files of a crate with this code, below a root that passes their names on.
    fn found(a: &str, b: &str) -> usize {
        let root = "mod a; mod b; pub use a::A; pub(crate) use b::{B as C, b};";
        let files = [("src/lib.rs", root), ("src/a.rs", a), ("src/b.rs", b)];
        circles(&code(&files)).len()
    }

    #[test]
    fn a_circle_of_two_files_is_found_however_the_import_is_written() {
        let a = "pub struct A; fn f(_: crate::b::B) {}";
        for text in [
            "pub struct B; use crate::a::A; fn f(_: A) {}",
            "pub struct B; use crate::A;",
            "pub struct B; use crate::a::A as Other; fn f(_: Other) {}",
            "pub struct B; use crate::{a::{self}}; fn f(_: a::A) {}",
            "pub struct B; use crate::a; fn f(_: a::A) {}",
            "pub struct B; use crate::a::*; fn f(_: A) {}",
            "pub struct B; use super::*; fn f(_: A) {}",
            "pub struct B; use crate::*; fn f(_: A) {}",
            "pub struct B; fn f() { let x = crate::a::A; }",
            "pub struct B; fn f() { use super::a::A; let x = A; }",
            "pub struct B; fn f() { html! { <div>{ crate::a::A }</div> }; }",
            "pub struct B; fn f() { html! { <super::a::A x=1 /> }; }",
            "pub struct B; fn f() { matches!(x, crate::A); }",
            "pub struct B; mod inner { fn f(_: super::super::A) {} }",
            "pub struct B; #[serde(with = \"crate::a::A\")] struct S;",
            "pub struct B; impl Trait for crate::a::A {}",
        ] {
            assert_eq!(found(a, text), 1, "{text}");
        }
    }

    #[test]
    fn a_circle_through_the_names_that_a_root_passes_on_is_found() {
        let a = "pub struct A; fn f(_: crate::C) {}";
        assert_eq!(found(a, "pub struct B; pub fn b() { crate::A; }"), 1);
        let a = "pub struct A; use crate::b as helper; fn f() { helper() }";
        assert_eq!(found(a, "pub struct B; pub fn b() { let _ = super::A; }"), 1);
    }

    #[test]
    fn a_circle_of_three_files_is_found_once() {
        let files = [
            ("src/lib.rs", "mod a; mod b; mod c;"),
            ("src/a.rs", "pub struct A(crate::b::B);"),
            ("src/b.rs", "pub struct B(crate::c::C);"),
            ("src/c.rs", "pub struct C; fn f(_: super::a::A) {}"),
        ];
        assert_eq!(circles(&code(&files)).len(), 1);
    }

    #[test]
    fn a_root_that_passes_names_on_and_code_in_tests_make_no_circle() {
        let a = "pub struct A; fn f(_: crate::b::B) {}";
        assert_eq!(found(a, "pub struct B; #[cfg(test)] mod tests { use crate::a::A; }"), 0);
        let root = "mod a; mod b; pub use a::A; pub use b::B;";
        let files = [
            ("src/lib.rs", root),
            ("src/a.rs", "pub struct A;"),
            ("src/b.rs", "pub struct B; use crate::A; fn f(_: A) { self.a(); }"),
        ];
        assert_eq!(circles(&code(&files)), []);
    }

    #[test]
    fn a_module_that_uses_its_child_and_is_used_by_it_is_found() {
        let files = [
            ("src/lib.rs", "mod a;"),
            ("src/a/mod.rs", "mod part; pub struct A; use part::Part; fn f(_: Part) {}"),
            ("src/a/part.rs", "pub struct Part(super::A);"),
        ];
        assert_eq!(circles(&code(&files)).len(), 1);
    }
}
