//! Errors are types, not text; arguments and fields are named, not packed in tuples.

use super::Violation;
use super::source::{SourceFile, Tree};
use std::collections::BTreeSet;
use syn::spanned::Spanned;
use syn::visit::Visit;

/// The longest tuple that may be an argument or a field.
const TUPLE: usize = 3;
/// Types that are text.
const TEXT: [&str; 2] = ["String", "str"];
/// Types around a text that make it no less a text.
const AROUND_TEXT: [&str; 4] = ["Box", "Rc", "Arc", "Cow"];

/// Every `Result` whose error is text.
#[must_use]
pub fn text_errors(tree: &Tree) -> Vec<Violation> {
    tree.rust("").flat_map(text_errors_in).collect()
}

fn text_errors_in(file: &SourceFile) -> Vec<Violation> {
    let Some(items) = file.items_with_tests() else { return Vec::new() };
    let mut errors = TextErrors { path: &file.path, aliases: BTreeSet::new(), found: Vec::new() };
    errors.aliases.extend(TEXT.map(str::to_owned));
    // Twice, since an alias may name an alias.
    for _ in 0..2 {
        items.items.iter().for_each(|item| errors.learn(item));
    }
    errors.visit_file(&items);
    errors.found
}

struct TextErrors<'a> {
    path: &'a str,
    /// Names of text in this file.
    aliases: BTreeSet<String>,
    found: Vec<Violation>,
}

impl TextErrors<'_> {
    fn learn(&mut self, item: &syn::Item) {
        match item {
            syn::Item::Type(alias) if self.is_text(&alias.ty) => {
                self.aliases.insert(alias.ident.to_string());
            }
            syn::Item::Use(import) => self.learn_rename(&import.tree),
            _ => {}
        }
    }

    fn learn_rename(&mut self, tree: &syn::UseTree) {
        match tree {
            syn::UseTree::Path(path) => self.learn_rename(&path.tree),
            syn::UseTree::Group(group) => group.items.iter().for_each(|t| self.learn_rename(t)),
            syn::UseTree::Rename(r) if self.aliases.contains(&r.ident.to_string()) => {
                self.aliases.insert(r.rename.to_string());
            }
            _ => {}
        }
    }

    fn is_text(&self, ty: &syn::Type) -> bool {
        match ty {
            syn::Type::Reference(reference) => self.is_text(&reference.elem),
            syn::Type::Paren(inner) => self.is_text(&inner.elem),
            syn::Type::Group(inner) => self.is_text(&inner.elem),
            syn::Type::Path(path) => path.path.segments.last().is_some_and(|last| {
                self.aliases.contains(&last.ident.to_string())
                    || AROUND_TEXT.iter().any(|a| last.ident == a)
                        && types(&last.arguments).iter().any(|t| self.is_text(t))
            }),
            _ => false,
        }
    }
}

fn types(arguments: &syn::PathArguments) -> Vec<&syn::Type> {
    let syn::PathArguments::AngleBracketed(angled) = arguments else { return Vec::new() };
    let mut types = Vec::new();
    for argument in &angled.args {
        if let syn::GenericArgument::Type(ty) = argument {
            types.push(ty);
        }
    }
    types
}

impl<'ast> Visit<'ast> for TextErrors<'_> {
    fn visit_path_segment(&mut self, segment: &'ast syn::PathSegment) {
        if segment.ident == "Result"
            && let [_, error] = types(&segment.arguments).as_slice()
            && self.is_text(error)
        {
            let what = "an error as text: answer with the crate's error";
            self.found.push(Violation::at(self.path, segment.ident.span().start().line, what));
        }
        syn::visit::visit_path_segment(self, segment);
    }
}

/// Every argument, field and alias of a tuple that is too long.
#[must_use]
pub fn long_tuples(tree: &Tree) -> Vec<Violation> {
    tree.rust("").flat_map(long_tuples_in).collect()
}

fn long_tuples_in(file: &SourceFile) -> Vec<Violation> {
    let Some(items) = file.items_with_tests() else { return Vec::new() };
    let mut tuples = Tuples { path: &file.path, found: Vec::new() };
    tuples.visit_file(&items);
    tuples.found
}

struct Tuples<'a> {
    path: &'a str,
    found: Vec<Violation>,
}

impl Tuples<'_> {
    fn check(&mut self, ty: &syn::Type) {
        struct Longest(usize);
        impl<'ast> Visit<'ast> for Longest {
            fn visit_type_tuple(&mut self, tuple: &'ast syn::TypeTuple) {
                self.0 = self.0.max(tuple.elems.len());
                syn::visit::visit_type_tuple(self, tuple);
            }
        }
        let mut longest = Longest(0);
        longest.visit_type(ty);
        if longest.0 > TUPLE {
            let what = format!("a tuple of {}: name its parts in a structure", longest.0);
            self.found.push(Violation::at(self.path, ty.span().start().line, what));
        }
    }
}

impl<'ast> Visit<'ast> for Tuples<'_> {
    fn visit_signature(&mut self, signature: &'ast syn::Signature) {
        for input in &signature.inputs {
            if let syn::FnArg::Typed(argument) = input {
                self.check(&argument.ty);
            }
        }
        syn::visit::visit_signature(self, signature);
    }

    fn visit_expr_closure(&mut self, closure: &'ast syn::ExprClosure) {
        for input in &closure.inputs {
            if let syn::Pat::Type(argument) = input {
                self.check(&argument.ty);
            }
        }
        syn::visit::visit_expr_closure(self, closure);
    }

    fn visit_field(&mut self, field: &'ast syn::Field) {
        self.check(&field.ty);
    }

    fn visit_item_type(&mut self, alias: &'ast syn::ItemType) {
        self.check(&alias.ty);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(text: &str) -> Tree {
        Tree { files: vec![SourceFile::written("app/src/a.rs", text)] }
    }

    #[test]
    fn an_error_as_text_is_found_however_it_is_written() {
        for text in [
            "fn f() -> Result<(), String> { g() }",
            "fn f() -> std::result::Result<u8, std::string::String> { g() }",
            "fn f() -> Result<(), &'static str> { g() }",
            "fn f() -> Result<(), Box<str>> { g() }",
            "fn f() -> Result<(), std::borrow::Cow<'static, str>> { g() }",
            "type E = String; fn f() -> Result<(), E> { g() }",
            "use std::string::String as Words; fn f() -> Result<(), Words> { g() }",
            "fn f(g: impl Fn() -> Result<(), String>) {}",
            "struct S { found: Vec<Result<u8, String>> }",
            "#[cfg(test)] mod tests { fn f() -> Result<(), String> { g() } }",
        ] {
            assert_eq!(text_errors(&one(text)).len(), 1, "{text}");
        }
        let fine = "fn f() -> Result<String, Error> { g() } fn h() -> Result<String> { g() }";
        assert_eq!(text_errors(&one(fine)), []);
    }

    #[test]
    fn a_tuple_of_four_is_found_as_an_argument_a_field_and_an_alias() {
        for text in [
            "fn f(a: (u8, u8, u8, u8)) {}",
            "fn f((a, b, c, d): (u8, u8, u8, u8)) {}",
            "fn f(all: &[(u8, u8, u8, u8)]) {}",
            "struct S { all: Vec<(u8, u8, u8, u8)> }",
            "struct S((u8, u8, u8, u8));",
            "type T = (u8, u8, u8, u8);",
            "fn f() { let g = |a: (u8, u8, u8, u8)| a; }",
        ] {
            assert_eq!(long_tuples(&one(text)).len(), 1, "{text}");
        }
        assert_eq!(long_tuples(&one("fn f(a: (u8, u8, u8)) -> (u8, u8, u8, u8) { g() }")), []);
    }
}
