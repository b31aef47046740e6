//! Quantities have their unit in their name, and degrees are in one file only.

use super::Violation;
use super::source::{Kind, SourceFile, Tree};
use syn::visit::Visit;

/// Endings that name a unit, or the absence of one.
const UNITS: [&str; 24] = [
    "_m",
    "_s",
    "_kg",
    "_n",
    "_j",
    "_w",
    "_hz",
    "_rad",
    "_m_s",
    "_m_s2",
    "_rad_s",
    "_rad_s2",
    "_kg_m2",
    "_j_kg_m",
    "_w_kg",
    "_px",
    "_px_s",
    "_px_s2",
    "_px2",
    "_fraction",
    "_ratio",
    "_si",
    // A count, and a number in the unit that is shown beside it.
    "_bytes",
    "_shown",
];
/// Names of pure numbers.
const PURE_NUMBERS: [&str; 14] = [
    "duty_factor",
    "p_wrong",
    "phase",
    "cos",
    "sin",
    "weight",
    "score",
    "correlation",
    "contrast",
    "t_value",
    "z_value",
    "degrees_of_freedom",
    "feed_forward",
    "feed_back",
];
/// The end of the path of the one file with degrees.
const DEGREES: &str = "/src/results/format.rs";

/// Every public field of a structure, and every field of a variant, that holds numbers without a unit.
#[must_use]
pub fn fields_without_unit(tree: &Tree) -> Vec<Violation> {
    let crates = ["mechanics/", "tracking/", "app/", "demo-clips/"];
    let files = crates.iter().flat_map(|under| tree.rust(under));
    files.filter(|f| f.path.contains("/src/")).flat_map(in_file).collect()
}

fn in_file(file: &SourceFile) -> Vec<Violation> {
    let Some(items) = file.items() else {
        return vec![Violation::at(&file.path, 0, "cannot be read as Rust")];
    };
    let mut fields = Fields { path: &file.path, found: Vec::new() };
    fields.visit_file(&items);
    fields.found
}

struct Fields<'a> {
    path: &'a str,
    found: Vec<Violation>,
}

impl Fields<'_> {
    fn check(&mut self, field: &syn::Field) {
        let Some(name) = &field.ident else { return };
        let text = name.to_string();
        let bare = text.trim_start_matches("r#");
        let said = UNITS.iter().any(|u| bare.ends_with(u) || bare == u.trim_start_matches('_'))
            || PURE_NUMBERS.contains(&bare);
        if holds_numbers(&field.ty) && !said {
            let what = format!("`{bare}` holds f64 and has no unit in its name");
            self.found.push(Violation::at(self.path, name.span().start().line, what));
        }
    }
}

impl<'ast> Visit<'ast> for Fields<'_> {
    fn visit_item_struct(&mut self, item: &'ast syn::ItemStruct) {
        for field in &item.fields {
            if !matches!(field.vis, syn::Visibility::Inherited) {
                self.check(field);
            }
        }
    }

    fn visit_variant(&mut self, variant: &'ast syn::Variant) {
        variant.fields.iter().for_each(|f| self.check(f));
    }
}

/// Whether a type holds an `f64` somewhere, functions apart.
fn holds_numbers(ty: &syn::Type) -> bool {
    struct Numbers(bool);
    impl<'ast> Visit<'ast> for Numbers {
        fn visit_path_segment(&mut self, segment: &'ast syn::PathSegment) {
            self.0 |= segment.ident == "f64";
            if !["Fn", "FnMut", "FnOnce", "Callback"].iter().any(|f| segment.ident == f) {
                syn::visit::visit_path_segment(self, segment);
            }
        }
        fn visit_type_bare_fn(&mut self, _: &'ast syn::TypeBareFn) {}
    }
    let mut numbers = Numbers(false);
    numbers.visit_type(ty);
    numbers.0
}

/// Every place outside of `results/format.rs` that names degrees.
#[must_use]
pub fn degrees_elsewhere(tree: &Tree) -> Vec<Violation> {
    let mut found = Vec::new();
    for file in ["mechanics/", "tracking/", "app/"].iter().flat_map(|c| tree.rust(c)) {
        if file.path.ends_with(DEGREES) || file.path.contains("/tests/") {
            continue;
        }
        for token in without_docs(file) {
            if token_is_degrees(token.kind, &token.text) {
                let what = format!("`{}`: degrees are in results/format.rs only", token.text);
                found.push(Violation::at(&file.path, token.line, what));
            }
        }
    }
    found
}

fn token_is_degrees(kind: Kind, text: &str) -> bool {
    let words = ["deg", "degs", "degree", "degrees"];
    match kind {
        Kind::Name => {
            text != "degrees_of_freedom"
                && text.to_lowercase().split('_').any(|w| words.contains(&w))
                || text == "to_radians"
        }
        Kind::Literal => text.contains('\u{b0}'),
        _ => false,
    }
}

/// The tokens of a file without its doc comments.
fn without_docs(file: &SourceFile) -> Vec<super::source::Token> {
    let tokens = file.tokens();
    let is_doc = |i: usize| {
        i >= 2
            && tokens.get(i - 1).is_some_and(|t| t.is_sign("="))
            && tokens.get(i - 2).is_some_and(|t| t.is_name("doc"))
    };
    (0..tokens.len()).filter(|i| !is_doc(*i)).filter_map(|i| tokens.get(i).cloned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(path: &str, text: &str) -> Tree {
        Tree { files: vec![SourceFile::written(path, text)] }
    }

    #[test]
    fn a_number_without_a_unit_is_found_wherever_it_is_wrapped() {
        for ty in ["f64", "Option<f64>", "Vec<f64>", "(f64, f64)", "BTreeMap<u8, Vec<[f64; 2]>>"] {
            let bad = one("app/src/results/a.rs", &format!("pub struct A {{ pub time: {ty} }}"));
            assert_eq!(fields_without_unit(&bad).len(), 1, "{ty}");
            let good = one("app/src/results/a.rs", &format!("pub struct A {{ pub time_s: {ty} }}"));
            assert_eq!(fields_without_unit(&good), [], "{ty}");
        }
        let variant = one("mechanics/src/error.rs", "pub enum E { A { angle: f64 } }");
        assert_eq!(fields_without_unit(&variant).len(), 1);
        let function = one("app/src/ui/a.rs", "pub struct A { pub draw: fn(f64) -> f64 }");
        assert_eq!(fields_without_unit(&function), []);
    }

    #[test]
    fn degrees_outside_of_the_one_file_are_found() {
        for text in ["fn f() { x.to_degrees(); }", "fn f(angle_deg: u8) {}", "fn f() { g(\"3°\") }"]
        {
            assert_eq!(degrees_elsewhere(&one("mechanics/src/a.rs", text)).len(), 1, "{text}");
            assert_eq!(degrees_elsewhere(&one("app/document/src/results/format.rs", text)), []);
        }
        let spoken = "/// Not in degrees.\nfn f(degrees_of_freedom: u8) {}";
        assert_eq!(degrees_elsewhere(&one("mechanics/src/a.rs", spoken)), []);
    }
}
