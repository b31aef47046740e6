//! The modules of every crate of the workspace, as the compiler finds them: items, imports and the paths in the code.

use super::source::{SourceFile, Tree};
use super::workspace::{Package, Role, Workspace};
use proc_macro2::{TokenStream, TokenTree};
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
}

/// An item that a module defines.
#[derive(Clone, Debug, Default)]
pub struct Item {
    /// Where it is.
    pub line: usize,
    /// Whether it is public in any degree.
    pub is_public: bool,
    /// Whether something outside of Rust uses it.
    pub is_exported: bool,
    /// The variants of an enum.
    pub variants: BTreeSet<String>,
}

/// An import.
#[derive(Clone, Debug)]
pub struct Import {
    /// The imported path.
    pub path: Vec<String>,
    /// The name that it gets here; empty for a glob.
    pub name: String,
    /// Where it is.
    pub line: usize,
    /// Whether it passes the name on to other modules.
    pub is_reexport: bool,
}

/// A path in the code.
#[derive(Clone, Debug)]
pub struct Use {
    /// Its segments.
    pub path: Vec<String>,
    /// Where it is.
    pub line: usize,
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
        let keeps_tests = self
            .modules
            .get(module)
            .and_then(|m| self.crates.get(m.krate))
            .is_some_and(|c| c.role == Role::Check);
        let items = if keeps_tests { file.items_with_tests() } else { file.items() };
        let Some(items) = items else { return };
        let folder = folder_of_children(file, is_root);
        let mut reader = Reader { code: self, tree, module, folder };
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
}

impl Reader<'_> {
    fn with_module(&mut self, change: impl FnOnce(&mut Module)) {
        if let Some(module) = self.code.modules.get_mut(self.module) {
            change(module);
        }
    }

    fn item(&mut self, item: &syn::Item) {
        match item {
            syn::Item::Mod(inner) => self.child(inner),
            syn::Item::Use(import) => self.import(import),
            syn::Item::Impl(block) => self.block(block),
            _ => self.definition(item),
        }
    }

    fn child(&mut self, inner: &syn::ItemMod) {
        let name = plain(&inner.ident);
        let Some(parent) = self.code.modules.get(self.module) else { return };
        let path = parent.path.iter().cloned().chain([name.clone()]).collect();
        let mut module =
            Module { krate: parent.krate, path, parent: Some(self.module), ..Module::default() };
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
                let mut reader =
                    Reader { code: self.code, tree: self.tree, module: child, folder: below };
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

fn paths_of_header(block: &syn::ItemImpl, paths: &mut Paths) {
    paths.visit_type(&block.self_ty);
    if let Some((_, path, _)) = &block.trait_ {
        paths.visit_path(path);
    }
    paths.visit_generics(&block.generics);
}

/// Adds the types that the public side of an item names.
fn expose(item: &syn::Item, paths: &mut Paths) {
    match item {
        syn::Item::Fn(f) if is_public(&f.vis) => paths.visit_signature(&f.sig),
        syn::Item::Struct(s) if is_public(&s.vis) => {
            s.fields.iter().filter(|f| is_public(&f.vis)).for_each(|f| paths.visit_type(&f.ty));
            paths.visit_generics(&s.generics);
        }
        syn::Item::Enum(e) if is_public(&e.vis) => {
            e.variants.iter().flat_map(|v| &v.fields).for_each(|f| paths.visit_type(&f.ty));
        }
        syn::Item::Trait(t) if is_public(&t.vis) => paths.visit_item_trait(t),
        syn::Item::Type(t) if is_public(&t.vis) => paths.visit_type(&t.ty),
        syn::Item::Const(c) if is_public(&c.vis) => paths.visit_type(&c.ty),
        syn::Item::Static(s) if is_public(&s.vis) => paths.visit_type(&s.ty),
        _ => {}
    }
}

fn defined(item: &syn::Item) -> Option<(String, Item)> {
    let mut variants = BTreeSet::new();
    let (ident, vis, attributes) = match item {
        syn::Item::Fn(f) => (&f.sig.ident, &f.vis, &f.attrs),
        syn::Item::Struct(s) => (&s.ident, &s.vis, &s.attrs),
        syn::Item::Enum(e) => {
            variants = e.variants.iter().map(|v| plain(&v.ident)).collect();
            (&e.ident, &e.vis, &e.attrs)
        }
        syn::Item::Union(u) => (&u.ident, &u.vis, &u.attrs),
        syn::Item::Trait(t) => (&t.ident, &t.vis, &t.attrs),
        syn::Item::Type(t) => (&t.ident, &t.vis, &t.attrs),
        syn::Item::Const(c) => (&c.ident, &c.vis, &c.attrs),
        syn::Item::Static(s) => (&s.ident, &s.vis, &s.attrs),
        _ => return None,
    };
    let item = Item {
        line: ident.span().start().line,
        is_public: is_public(vis),
        is_exported: is_exported(attributes),
        variants,
    };
    Some((plain(ident), item))
}

fn is_public(vis: &syn::Visibility) -> bool {
    !matches!(vis, syn::Visibility::Inherited)
}

/// Whether a host of another language calls it.
fn is_exported(attributes: &[syn::Attribute]) -> bool {
    let names = ["wasm_bindgen", "no_mangle", "global_allocator", "export_name"];
    attributes
        .iter()
        .any(|a| a.path().segments.last().is_some_and(|s| names.iter().any(|n| s.ident == n)))
}

fn plain(ident: &syn::Ident) -> String {
    ident.to_string().trim_start_matches("r#").to_owned()
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

/// The single imports of a tree: the path and the name here, or none for a glob.
fn flatten(
    tree: &syn::UseTree,
    before: &mut Vec<String>,
    all: &mut Vec<(Vec<String>, Option<String>)>,
) {
    match tree {
        syn::UseTree::Path(path) => {
            before.push(plain(&path.ident));
            flatten(&path.tree, before, all);
            before.pop();
        }
        syn::UseTree::Name(name) if name.ident == "self" => {
            all.push((before.clone(), before.last().cloned()));
        }
        syn::UseTree::Name(name) => {
            let name = plain(&name.ident);
            let path = before.iter().cloned().chain([name.clone()]).collect();
            all.push((path, Some(name)));
        }
        syn::UseTree::Rename(rename) => {
            let mut path = before.clone();
            if rename.ident != "self" {
                path.push(plain(&rename.ident));
            }
            all.push((path, Some(plain(&rename.rename))));
        }
        syn::UseTree::Glob(_) => all.push((before.clone(), None)),
        syn::UseTree::Group(group) => {
            group.items.iter().for_each(|inner| flatten(inner, before, all));
        }
    }
}

/// Collects the paths of a piece of code, those in macros and attributes among them, and its inner imports.
#[derive(Default)]
struct Paths {
    uses: Vec<Use>,
    imports: Vec<Import>,
}

impl<'ast> Visit<'ast> for Paths {
    fn visit_path(&mut self, path: &'ast syn::Path) {
        let segments = path.segments.iter().map(|s| plain(&s.ident)).collect();
        self.uses.push(Use { path: segments, line: path.span().start().line });
        syn::visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, inner: &'ast syn::Macro) {
        self.visit_path(&inner.path);
        self.tokens(inner.tokens.clone());
    }

    fn visit_attribute(&mut self, attribute: &'ast syn::Attribute) {
        if let syn::Meta::List(list) = &attribute.meta {
            self.tokens(list.tokens.clone());
        }
    }

    fn visit_item_use(&mut self, import: &'ast syn::ItemUse) {
        let mut all = Vec::new();
        flatten(&import.tree, &mut Vec::new(), &mut all);
        let line = import.span().start().line;
        self.imports.extend(all.into_iter().map(|(path, name)| Import {
            path,
            name: name.unwrap_or_default(),
            line,
            is_reexport: false,
        }));
    }
}

impl Paths {
    /// The paths in tokens that no grammar is known for: names joined by `::`, not after a dot, also in text.
    fn tokens(&mut self, stream: TokenStream) {
        let all: Vec<TokenTree> = stream.into_iter().collect();
        let is = |at: usize, sign: char| matches!(all.get(at), Some(TokenTree::Punct(p)) if p.as_char() == sign);
        let mut at = 0;
        while let Some(token) = all.get(at) {
            match token {
                TokenTree::Group(group) => self.tokens(group.stream()),
                TokenTree::Literal(literal) => self.text(&literal.to_string(), token),
                TokenTree::Ident(_) => {
                    let is_member = at > 0 && is(at - 1, '.') && !(at > 1 && is(at - 2, '.'));
                    let mut path = Vec::new();
                    while let Some(TokenTree::Ident(ident)) = all.get(at) {
                        path.push(plain(ident));
                        if !(is(at + 1, ':') && is(at + 2, ':')) {
                            break;
                        }
                        at += 3;
                    }
                    if !is_member {
                        self.uses.push(Use { path, line: token.span().start().line });
                    }
                    if !matches!(all.get(at), Some(TokenTree::Ident(_))) {
                        continue;
                    }
                }
                TokenTree::Punct(_) => {}
            }
            at += 1;
        }
    }

    /// Names in a text: `{name}` of a format, or a whole path such as serde's attributes hold.
    fn text(&mut self, text: &str, token: &TokenTree) {
        let line = token.span().start().line;
        let named = text.split('{').skip(1).filter_map(|rest| rest.split(['}', ':']).next());
        for name in named.filter(|n| !n.is_empty() && n.chars().all(is_word)) {
            self.uses.push(Use { path: vec![name.to_owned()], line });
        }
        let inner = text.trim_matches('"');
        if inner.contains("::") && inner.chars().all(|c| is_word(c) || c == ':') {
            self.uses.push(Use { path: inner.split("::").map(str::to_owned).collect(), line });
        }
    }
}

fn is_word(letter: char) -> bool {
    letter == '_' || letter.is_ascii_alphanumeric()
}
