//! The modules of every crate of the workspace, as the compiler finds them: items, imports and the paths in the code.

pub use super::items::Item;
use super::items::{attributes, defined, expose, is_exported, is_public, is_test, paths_of_header};
pub use super::paths::{Import, Use};
use super::paths::{Paths, flatten, plain};
use super::source::{SourceFile, Tree};
use super::workspace::{Package, Role, Workspace};
use std::collections::{BTreeMap, BTreeSet};
use syn::spanned::Spanned;
use syn::visit::Visit;

/// All modules of all crates.
#[derive(Clone, Debug, Default)]
pub struct Code {
    /// The crates.
    pub crates: Vec<Crate>,
    /// The modules of all of them.
    pub modules: Vec<Module>,
}

/// A crate of a package.
#[derive(Clone, Debug)]
pub struct Crate {
    /// The package.
    pub package: String,
    /// Its name in code.
    pub name: String,
    /// What it is for.
    pub role: Role,
    /// Its root among the modules.
    pub root: usize,
    /// The names of other crates in its code, and their packages.
    pub externs: BTreeMap<String, String>,
}

/// A module, in a file of its own or inline.
#[derive(Clone, Debug, Default)]
pub struct Module {
    /// Its place among the crates.
    pub krate: usize,
    /// Its path below the root of the crate; empty for the root.
    pub path: Vec<String>,
    /// The file with its code.
    pub file: String,
    /// The module around it.
    pub parent: Option<usize>,
    /// The modules in it.
    pub children: BTreeMap<String, usize>,
    /// The items that it defines.
    pub items: BTreeMap<String, Item>,
    /// Public methods of its types, with their lines.
    pub methods: Vec<(String, usize)>,
    /// The imports of single names.
    pub imports: Vec<Import>,
    /// The glob imports.
    pub globs: Vec<Import>,
    /// The paths in its code.
    pub uses: Vec<Use>,
    /// Names in the public signatures of its items.
    pub exposed: BTreeSet<String>,
    /// Whether it is a file of tests in a library or program.
    pub is_test: bool,
}

impl Code {
    /// Reads all crates; without the unit tests, but with integration tests.
    #[must_use]
    pub fn read(tree: &Tree, workspace: &Workspace) -> Self {
        let mut code = Self::default();
        for package in &workspace.packages {
            for target in &package.targets {
                code.add_crate(tree, package, (&target.name, &target.root, target.role));
            }
        }
        code
    }

    fn add_crate(&mut self, tree: &Tree, package: &Package, target: (&str, &str, Role)) {
        let (name, root, role) = target;
        let mut externs: BTreeMap<String, String> = BTreeMap::new();
        externs.extend(package.dependencies.iter().map(|d| (d.name.clone(), d.package.clone())));
        if role != Role::Library {
            let library = package.targets.iter().find(|t| t.role == Role::Library);
            externs.extend(library.map(|l| (l.name.clone(), package.name.clone())));
        }
        let krate = self.crates.len();
        let root_module = self.modules.len();
        self.crates.push(Crate {
            package: package.name.clone(),
            name: name.to_owned(),
            role,
            root: root_module,
            externs,
        });
        self.modules.push(Module { krate, file: root.to_owned(), ..Module::default() });
        self.read_file(tree, root_module, root, true);
    }

    fn read_file(&mut self, tree: &Tree, module: usize, path: &str, is_root: bool) {
        let Some(file) = tree.file(path) else { return };
        let Some(items) = file.items_with_tests() else { return };
        let folder = folder_of_children(file, is_root);
        let is_check = self.crate_of(module).is_some_and(|c| c.role == Role::Check);
        let keeps_tests = is_check || self.modules.get(module).is_some_and(|m| m.is_test);
        let mut reader = Reader { code: self, tree, module, folder, keeps_tests };
        items.items.iter().for_each(|item| reader.item(item));
    }

    /// The library of a package.
    #[must_use]
    pub fn library(&self, package: &str) -> Option<&Crate> {
        self.crates.iter().find(|c| c.package == package && c.role == Role::Library)
    }

    /// The module of an index and its crate.
    #[must_use]
    pub fn crate_of(&self, module: usize) -> Option<&Crate> {
        self.crates.get(self.modules.get(module)?.krate)
    }
}

/// The folder in which the child modules of a file have their files.
fn folder_of_children(file: &SourceFile, is_root: bool) -> String {
    let (folder, name) = file.path.rsplit_once('/').unwrap_or(("", &file.path));
    if is_root || name == "mod.rs" {
        folder.to_owned()
    } else {
        format!("{folder}/{}", name.trim_end_matches(".rs"))
    }
}

struct Reader<'a> {
    code: &'a mut Code,
    tree: &'a Tree,
    module: usize,
    folder: String,
    /// Whether tests count as code: in an integration test and in a file of tests.
    keeps_tests: bool,
}

impl Reader<'_> {
    fn with_module(&mut self, change: impl FnOnce(&mut Module)) {
        if let Some(module) = self.code.modules.get_mut(self.module) {
            change(module);
        }
    }

    fn item(&mut self, item: &syn::Item) {
        let is_of_tests = !self.keeps_tests && is_test(attributes(item));
        match item {
            syn::Item::Mod(inner) if is_of_tests && inner.content.is_none() => {
                self.child(inner, true);
            }
            _ if is_of_tests => {}
            syn::Item::Mod(inner) => self.child(inner, false),
            syn::Item::Use(import) => self.import(import),
            syn::Item::Impl(block) => self.block(block),
            _ => self.definition(item),
        }
    }

    fn child(&mut self, inner: &syn::ItemMod, is_test: bool) {
        let name = plain(&inner.ident);
        let Some(parent) = self.code.modules.get(self.module) else { return };
        let path = parent.path.iter().cloned().chain([name.clone()]).collect();
        let mut module =
            Module { krate: parent.krate, path, parent: Some(self.module), ..Module::default() };
        module.is_test = is_test || parent.is_test;
        let (krate_file, child) = (parent.file.clone(), self.code.modules.len());
        let below = format!("{}/{name}", self.folder);
        let file = match &inner.content {
            Some(_) => Some(krate_file.clone()),
            None => self.file_of(inner, &below),
        };
        let Some(file) = file else { return };
        module.file.clone_from(&file);
        self.code.modules.push(module);
        self.with_module(|m| {
            m.children.insert(name, child);
        });
        match &inner.content {
            Some((_, items)) => {
                let keeps_tests = self.keeps_tests;
                let mut reader = Reader {
                    code: self.code,
                    tree: self.tree,
                    module: child,
                    folder: below,
                    keeps_tests,
                };
                items.iter().for_each(|item| reader.item(item));
            }
            None => self.code.read_file(self.tree, child, &file, false),
        }
    }

    fn file_of(&self, inner: &syn::ItemMod, below: &str) -> Option<String> {
        let written = inner.attrs.iter().find_map(|attribute| match &attribute.meta {
            syn::Meta::NameValue(pair) if pair.path.is_ident("path") => match &pair.value {
                syn::Expr::Lit(syn::ExprLit { lit: syn::Lit::Str(text), .. }) => Some(text.value()),
                _ => None,
            },
            _ => None,
        });
        let here = self.code.modules.get(self.module)?.file.clone();
        let beside = here.rsplit_once('/').map_or("", |(folder, _)| folder);
        let candidates = match written {
            Some(path) => vec![normal(&format!("{beside}/{path}"))],
            None => vec![format!("{below}.rs"), format!("{below}/mod.rs")],
        };
        candidates.into_iter().find(|c| self.tree.file(c).is_some())
    }

    fn import(&mut self, import: &syn::ItemUse) {
        let is_reexport = is_public(&import.vis);
        let mut all = Vec::new();
        flatten(&import.tree, &mut Vec::new(), &mut all);
        for (path, name) in all {
            let line = import.span().start().line;
            let import = Import { path, name: name.clone().unwrap_or_default(), line, is_reexport };
            self.with_module(|m| match name {
                Some(_) => m.imports.push(import),
                None => m.globs.push(import),
            });
        }
    }

    fn block(&mut self, block: &syn::ItemImpl) {
        let mut paths = Paths::default();
        paths.visit_item_impl(block);
        let mut exposed = Paths::default();
        paths_of_header(block, &mut exposed);
        let mut methods = Vec::new();
        for item in &block.items {
            match item {
                syn::ImplItem::Fn(f) if is_public(&f.vis) || block.trait_.is_some() => {
                    exposed.visit_signature(&f.sig);
                    if block.trait_.is_none() && !is_exported(&block.attrs) {
                        methods.push((plain(&f.sig.ident), f.sig.ident.span().start().line));
                    }
                }
                syn::ImplItem::Type(t) => exposed.visit_type(&t.ty),
                syn::ImplItem::Const(c) if is_public(&c.vis) => exposed.visit_type(&c.ty),
                _ => {}
            }
        }
        self.with_module(|m| m.methods.extend(methods));
        self.take(paths, exposed);
    }

    fn definition(&mut self, item: &syn::Item) {
        let (mut paths, mut exposed) = (Paths::default(), Paths::default());
        paths.visit_item(item);
        expose(item, &mut exposed);
        if let Some((name, item)) = defined(item) {
            self.with_module(|m| {
                m.items.insert(name, item);
            });
        }
        self.take(paths, exposed);
    }

    fn take(&mut self, paths: Paths, exposed: Paths) {
        self.with_module(|m| {
            m.uses.extend(paths.uses);
            m.imports.extend(paths.imports.iter().filter(|i| !i.name.is_empty()).cloned());
            m.globs.extend(paths.imports.into_iter().filter(|i| i.name.is_empty()));
            m.exposed.extend(exposed.uses.into_iter().filter_map(|u| u.path.last().cloned()));
        });
    }
}

/// `a/b/../c` as `a/c`.
fn normal(path: &str) -> String {
    let mut parts: Vec<&str> = Vec::new();
    for part in path.split('/') {
        match part {
            ".." => drop(parts.pop()),
            "." | "" => {}
            other => parts.push(other),
        }
    }
    parts.join("/")
}
