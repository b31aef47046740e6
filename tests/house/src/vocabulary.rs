//! Names are the field's own words: household words and participles for things are banned from names.

use super::Violation;
use super::source::Tree;
use std::collections::BTreeSet;
use syn::visit::Visit;

/// Words that no name may have as one of its words.
const BANNED: [&str; 34] = [
    "anew", "astray", "blame", "breath", "buried", "census", "desk", "fall", "fallen", "falls",
    "fell", "glance", "greys", "hands", "inband", "lack", "lacking", "lacks", "lent", "look",
    "looks", "rationed", "shelf", "shower", "sight", "smear", "sound", "tell", "tells", "told",
    "torn", "tryout", "twice", "unsound",
];

/// Plain English in the sentence that a test's name is: how often, and motion under gravity.
const FINE_IN_SENTENCES: [&str; 3] = ["fall", "falls", "twice"];

/// Words that may not be the whole name of a file or a module, as they do not say of what.
const BANNED_FILES: [&str; 44] = [
    "away",
    "band",
    "before",
    "carry",
    "copies",
    "cover",
    "differences",
    "exchange",
    "explained",
    "fair",
    "filmed",
    "firm",
    "front",
    "gather",
    "generation",
    "given",
    "hold",
    "hue",
    "job",
    "keep",
    "keeping",
    "kept",
    "meeting",
    "memo",
    "missing",
    "parcel",
    "parts",
    "recent",
    "repeats",
    "ring",
    "room",
    "run",
    "running",
    "second",
    "sent",
    "shapes",
    "slowed",
    "small",
    "stamps",
    "standing",
    "sums",
    "turn",
    "turned",
    "words",
];

/// A name that may have a banned word, since it is the trade's own there.
struct Exception {
    /// The folder or file.
    under: &'static str,
    /// The name, or its beginning before a `*`.
    name: &'static str,
    /// Why it stays.
    reason: &'static str,
}

const EXCEPTIONS: [Exception; 8] = [
    Exception { under: "", name: "free_fall*", reason: "mechanics: motion under gravity alone" },
    Exception {
        under: "",
        name: "*_fall_m_s2",
        reason: "mechanics: the acceleration of free fall",
    },
    Exception {
        under: "mechanics/src/measures/flight.rs",
        name: "MeanFall",
        reason: "mechanics: the mean acceleration of free fall",
    },
    Exception {
        under: "mechanics/src/measures/flight.rs",
        name: "*_fall",
        reason: "mechanics: free fall and its mean acceleration",
    },
    Exception { under: "", name: "fall_m_s2", reason: "mechanics: the acceleration of free fall" },
    Exception {
        under: "tests/house/src/vocabulary.rs",
        name: "*",
        reason: "the rule itself names what it bans",
    },
    Exception {
        under: "mechanics/src/comparison",
        name: "repeats",
        reason: "statistics: repeated measurements",
    },
    Exception {
        under: "tests/journeys/tests/workflow/frames",
        name: "*free_fall*",
        reason: "mechanics: motion under gravity alone",
    },
];

/// Every name with a banned word: of files, folders, types, functions, constants, modules, traits and variants.
#[must_use]
pub fn banned_names(tree: &Tree) -> Vec<Violation> {
    let mut found = banned_paths(tree);
    for file in tree.rust("") {
        let Some(items) = file.items_with_tests() else { continue };
        let mut names = Names::default();
        names.visit_file(&items);
        for Name { name, line, is_test } in names.found {
            if let Some(word) = banned_word(&name, if is_test { &FINE_IN_SENTENCES } else { &[] })
                && !is_excepted(&file.path, &name)
            {
                let what = format!("`{name}`: “{word}” is not the field's word, see the glossary");
                found.push(Violation::at(&file.path, line, what));
            }
        }
    }
    found
}

fn banned_paths(tree: &Tree) -> Vec<Violation> {
    let mut found = BTreeSet::new();
    for file in tree.rust("") {
        let mut folder = String::new();
        for part in file.path.split('/') {
            let name = part.trim_end_matches(".rs");
            let word = banned_word(name, &[]).or(BANNED_FILES.contains(&name).then_some(name));
            if let Some(word) = word
                && !is_excepted(&file.path, name)
            {
                let what = format!("the name `{part}`: “{word}” does not say what it is");
                found.insert(Violation::at(&format!("{folder}{part}"), 0, what));
            }
            folder = format!("{folder}{part}/");
        }
    }
    found.into_iter().collect()
}

fn is_excepted(path: &str, name: &str) -> bool {
    EXCEPTIONS.iter().any(|e| {
        let matches = match (e.name.strip_prefix('*'), e.name.strip_suffix('*')) {
            (Some(rest), Some(_)) => {
                let middle = rest.strip_suffix('*').unwrap_or(rest);
                name.contains(middle)
            }
            (Some(end), None) => name.ends_with(end),
            (None, Some(begin)) => name.starts_with(begin),
            (None, None) => name == e.name,
        };
        matches && path.starts_with(e.under) && !e.reason.is_empty()
    })
}

/// The first word of a name that is banned and not among the fine ones; words are parted by `_`, `-` and capital letters.
fn banned_word(name: &str, fine: &[&str]) -> Option<&'static str> {
    let mut words = vec![String::new()];
    let mut before = ' ';
    for letter in name.chars() {
        let begins = letter.is_uppercase() && before.is_lowercase();
        if begins || !letter.is_alphanumeric() {
            words.push(String::new());
        }
        if letter.is_alphanumeric()
            && let Some(word) = words.last_mut()
        {
            word.extend(letter.to_lowercase());
        }
        before = letter;
    }
    let has = |banned: &str| !fine.contains(&banned) && words.iter().any(|w| w == banned);
    BANNED.into_iter().find(|banned| has(banned))
}

/// A name where it is defined.
struct Name {
    name: String,
    line: usize,
    /// Whether it is the function of a test, so that the name is a sentence.
    is_test: bool,
}

#[derive(Default)]
struct Names {
    found: Vec<Name>,
}

impl Names {
    fn take(&mut self, ident: &syn::Ident) {
        let name = ident.to_string().trim_start_matches("r#").to_owned();
        self.found.push(Name { name, line: ident.span().start().line, is_test: false });
    }
}

impl<'ast> Visit<'ast> for Names {
    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        let own = self.found.len();
        syn::visit::visit_item_fn(self, item);
        // The function's own name comes first, those inside of it follow.
        if let Some(name) = self.found.get_mut(own) {
            name.is_test = item.attrs.iter().any(|a| a.path().is_ident("test"));
        }
    }

    fn visit_signature(&mut self, signature: &'ast syn::Signature) {
        self.take(&signature.ident);
        syn::visit::visit_signature(self, signature);
    }

    fn visit_item_struct(&mut self, item: &'ast syn::ItemStruct) {
        self.take(&item.ident);
        syn::visit::visit_item_struct(self, item);
    }

    fn visit_item_enum(&mut self, item: &'ast syn::ItemEnum) {
        self.take(&item.ident);
        syn::visit::visit_item_enum(self, item);
    }

    fn visit_variant(&mut self, variant: &'ast syn::Variant) {
        self.take(&variant.ident);
        syn::visit::visit_variant(self, variant);
    }

    fn visit_item_trait(&mut self, item: &'ast syn::ItemTrait) {
        self.take(&item.ident);
        syn::visit::visit_item_trait(self, item);
    }

    fn visit_item_type(&mut self, item: &'ast syn::ItemType) {
        self.take(&item.ident);
        syn::visit::visit_item_type(self, item);
    }

    fn visit_item_const(&mut self, item: &'ast syn::ItemConst) {
        self.take(&item.ident);
        syn::visit::visit_item_const(self, item);
    }

    fn visit_item_static(&mut self, item: &'ast syn::ItemStatic) {
        self.take(&item.ident);
        syn::visit::visit_item_static(self, item);
    }

    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        self.take(&item.ident);
        syn::visit::visit_item_mod(self, item);
    }

    fn visit_use_rename(&mut self, rename: &'ast syn::UseRename) {
        self.take(&rename.rename);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::SourceFile;

    fn one(path: &str, text: &str) -> usize {
        banned_names(&Tree { files: vec![SourceFile::written(path, text)] }).len()
    }

    #[test]
    fn a_banned_word_is_found_in_every_kind_of_name() {
        for text in [
            "fn told() {}",
            "fn what_is_told_here() {}",
            "struct ToldFrame;",
            "enum Told {}",
            "enum E { Told }",
            "const TOLD_S: f64 = 1.0;",
            "static TOLD: u8 = 1;",
            "mod glance {}",
            "type Look = u8;",
            "trait Look {}",
            "struct S; impl S { fn glance(&self) {} }",
            "use a::B as Told;",
            "#[cfg(test)] mod tests { #[test] fn nothing_is_told() {} }",
        ] {
            assert_eq!(one("app/src/a.rs", text), 1, "{text}");
        }
        assert_eq!(one("app/src/a.rs", "fn outlook() {} struct Lookup; fn shadow() {}"), 0);
    }

    #[test]
    fn a_file_or_folder_with_a_banned_name_is_found() {
        for path in ["app/src/glance.rs", "app/src/desk/mod.rs", "app/src/words.rs"] {
            assert_eq!(one(path, ""), 1, "{path}");
        }
        assert_eq!(one("app/src/running_speed.rs", ""), 0);
    }

    #[test]
    fn the_name_of_a_test_is_a_sentence_in_plain_english() {
        for name in ["a_clip_read_twice_is_the_same", "a_body_falls_with_g", "a_fall_ends"] {
            assert_eq!(one("app/src/a.rs", &format!("#[test] fn {name}() {{}}")), 0, "{name}");
            assert_eq!(one("app/src/a.rs", &format!("fn {name}() {{}}")), 1, "{name}");
        }
        let inside = "#[test] fn a_clip_read_twice() { struct Twice; fn told() {} }";
        assert_eq!(one("app/src/a.rs", inside), 2);
        assert_eq!(one("app/src/a.rs", "#[test] fn nothing_is_told_twice() {}"), 1);
    }

    #[test]
    fn the_trade_s_own_word_is_allowed_by_name() {
        assert_eq!(one("mechanics/src/measures/checks.rs", "fn free_fall() {}"), 0);
        assert_eq!(one("mechanics/src/measures/checks.rs", "fn fall() {}"), 1);
    }
}
