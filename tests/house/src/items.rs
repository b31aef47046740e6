//! The items of a file: what they define, and the names in their public signatures.

use super::paths::{Paths, plain};
use std::collections::BTreeSet;
use syn::visit::Visit;

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

/// Adds the types in the header of an `impl`.
pub(crate) fn paths_of_header(block: &syn::ItemImpl, paths: &mut Paths) {
    paths.visit_type(&block.self_ty);
    if let Some((_, path, _)) = &block.trait_ {
        paths.visit_path(path);
    }
    paths.visit_generics(&block.generics);
}

/// Adds the types that the public side of an item names.
pub(crate) fn expose(item: &syn::Item, paths: &mut Paths) {
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
        // What an exported macro names is used wherever the macro is.
        syn::Item::Macro(m) => paths.visit_macro(&m.mac),
        _ => {}
    }
}

/// The name and the facts of an item; none for imports, modules, blocks and macros.
pub(crate) fn defined(item: &syn::Item) -> Option<(String, Item)> {
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

/// Whether an item is public in any degree.
pub(crate) fn is_public(vis: &syn::Visibility) -> bool {
    !matches!(vis, syn::Visibility::Inherited)
}

/// Whether a host of another language calls it.
pub(crate) fn is_exported(attributes: &[syn::Attribute]) -> bool {
    let names = ["wasm_bindgen", "no_mangle", "global_allocator", "export_name"];
    attributes
        .iter()
        .any(|a| a.path().segments.last().is_some_and(|s| names.iter().any(|n| s.ident == n)))
}

/// Whether an item is compiled for tests only.
pub(crate) fn is_test(attributes: &[syn::Attribute]) -> bool {
    attributes.iter().any(|a| match &a.meta {
        syn::Meta::Path(path) => path.is_ident("test"),
        syn::Meta::List(list) => list.path.is_ident("cfg") && list.tokens.to_string() == "test",
        syn::Meta::NameValue(_) => false,
    })
}

/// The attributes of an item.
pub(crate) fn attributes(item: &syn::Item) -> &[syn::Attribute] {
    match item {
        syn::Item::Const(i) => &i.attrs,
        syn::Item::Enum(i) => &i.attrs,
        syn::Item::Fn(i) => &i.attrs,
        syn::Item::Impl(i) => &i.attrs,
        syn::Item::Macro(i) => &i.attrs,
        syn::Item::Mod(i) => &i.attrs,
        syn::Item::Static(i) => &i.attrs,
        syn::Item::Struct(i) => &i.attrs,
        syn::Item::Trait(i) => &i.attrs,
        syn::Item::Type(i) => &i.attrs,
        syn::Item::Union(i) => &i.attrs,
        syn::Item::Use(i) => &i.attrs,
        _ => &[],
    }
}
