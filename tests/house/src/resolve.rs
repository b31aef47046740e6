//! Which definition a path means, through imports, globs, renames and re-exports.

use super::modules::Code;
use std::collections::BTreeSet;

/// What a path leads to.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Definition {
    /// A module.
    Module(usize),
    /// An item of a module.
    Item(usize, String),
}

impl Definition {
    /// The module that defines it, or that it is.
    #[must_use]
    pub fn module(&self) -> usize {
        match self {
            Self::Module(module) | Self::Item(module, _) => *module,
        }
    }
}

/// One question to the resolver; it notes which names are being resolved, so that circles of imports end.
struct Search<'a> {
    code: &'a Code,
    under_way: BTreeSet<(usize, String)>,
}

/// All definitions that a path in a module may mean: a type and a function may share a name.
#[must_use]
pub fn resolve(code: &Code, module: usize, path: &[String]) -> BTreeSet<Definition> {
    Search { code, under_way: BTreeSet::new() }.path(module, path)
}

impl Search<'_> {
    fn path(&mut self, module: usize, path: &[String]) -> BTreeSet<Definition> {
        let Some((first, mut rest)) = path.split_first() else { return BTreeSet::new() };
        let parent = |m: usize| self.code.modules.get(m).and_then(|m| m.parent);
        let mut found = match first.as_str() {
            "crate" => self.root(module),
            "self" | "Self" => BTreeSet::from([Definition::Module(module)]),
            "super" => {
                let mut at = parent(module);
                while let [next, after @ ..] = rest
                    && next == "super"
                {
                    at = at.and_then(parent);
                    rest = after;
                }
                at.into_iter().map(Definition::Module).collect()
            }
            name => {
                let here = self.name(module, name);
                if here.is_empty() { self.other_crate(module, name) } else { here }
            }
        };
        for segment in rest {
            let next = |d: &Definition| match d {
                Definition::Module(m) => self.name(*m, segment),
                // A variant or an associated item: the type's file defines it.
                item @ Definition::Item(..) => BTreeSet::from([item.clone()]),
            };
            found = found.iter().flat_map(next).collect();
        }
        found
    }

    fn root(&self, module: usize) -> BTreeSet<Definition> {
        let root = self.code.crate_of(module).map(|c| Definition::Module(c.root));
        root.into_iter().collect()
    }

    fn other_crate(&self, module: usize, name: &str) -> BTreeSet<Definition> {
        let package = self.code.crate_of(module).and_then(|c| c.externs.get(name));
        let library = package.and_then(|p| self.code.library(p));
        library.map(|l| Definition::Module(l.root)).into_iter().collect()
    }

    /// The definitions of a name in a module.
    fn name(&mut self, module: usize, name: &str) -> BTreeSet<Definition> {
        let key = (module, name.to_owned());
        let Some(inside) = self.code.modules.get(module) else { return BTreeSet::new() };
        let mut found: BTreeSet<Definition> =
            inside.children.get(name).map(|m| Definition::Module(*m)).into_iter().collect();
        if inside.items.contains_key(name) {
            found.insert(Definition::Item(module, name.to_owned()));
        }
        // `use b::b` looks for `b` while it defines `b`: then only what is defined here counts.
        if !self.under_way.insert(key.clone()) {
            return found;
        }
        for import in inside.imports.iter().filter(|i| i.name == name) {
            found.extend(self.path(module, &import.path));
        }
        if found.is_empty() {
            for glob in &inside.globs {
                for target in self.path(module, &glob.path) {
                    found.extend(self.of_glob(&target, name));
                }
            }
        }
        self.under_way.remove(&key);
        found
    }

    fn of_glob(&mut self, target: &Definition, name: &str) -> BTreeSet<Definition> {
        match target {
            Definition::Module(module) => self.name(*module, name),
            Definition::Item(module, item) => {
                let items = self.code.modules.get(*module).map(|m| &m.items);
                let is_variant =
                    items.and_then(|i| i.get(item)).is_some_and(|i| i.variants.contains(name));
                is_variant.then(|| target.clone()).into_iter().collect()
            }
        }
    }
}
