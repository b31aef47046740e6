//! The paths in a piece of code: in types, expressions, macros and attributes; and the imports in it.

use proc_macro2::{TokenStream, TokenTree};
use syn::spanned::Spanned;
use syn::visit::Visit;

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

/// A name without the mark of a raw identifier.
pub(crate) fn plain(ident: &syn::Ident) -> String {
    ident.to_string().trim_start_matches("r#").to_owned()
}

/// The single imports of a tree: the path and the name here, or none for a glob.
pub(crate) fn flatten(
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
#[derive(Debug, Default)]
pub(crate) struct Paths {
    /// The paths.
    pub uses: Vec<Use>,
    /// The imports inside of functions.
    pub imports: Vec<Import>,
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
