//! Short files, short functions, and one sentence at the head of every file.

use super::Violation;
use super::source::{SourceFile, Tree};
use syn::visit::Visit;

/// The longest Rust file.
const FILE_LINES: usize = 400;
/// The longest function, signature and braces included.
const FUNCTION_LINES: usize = 60;
/// The largest file of any kind.
const FILE_BYTES: u64 = 2 * 1024 * 1024;

/// Every Rust file that is too long.
#[must_use]
pub fn long_files(tree: &Tree) -> Vec<Violation> {
    tree.rust("")
        .map(|f| (f, f.text().lines().count()))
        .filter(|(_, lines)| *lines > FILE_LINES)
        .map(|(f, lines)| Violation::at(&f.path, 0, format!("{lines} lines: split it")))
        .collect()
}

/// Every function that is too long.
#[must_use]
pub fn long_functions(tree: &Tree) -> Vec<Violation> {
    tree.rust("").flat_map(long_functions_in).collect()
}

fn long_functions_in(file: &SourceFile) -> Vec<Violation> {
    let Some(items) = file.items() else {
        return vec![Violation::at(&file.path, 0, "cannot be read as Rust")];
    };
    let mut functions = Functions { path: &file.path, found: Vec::new() };
    functions.visit_file(&items);
    functions.found
}

struct Functions<'a> {
    path: &'a str,
    found: Vec<Violation>,
}

impl Functions<'_> {
    fn check(&mut self, signature: &syn::Signature, block: &syn::Block) {
        let first = signature.fn_token.span.start().line;
        let last = block.brace_token.span.close().end().line;
        let lines = last.saturating_sub(first) + 1;
        if lines > FUNCTION_LINES {
            let what = format!("`{}` has {lines} lines: split it", signature.ident);
            self.found.push(Violation::at(self.path, first, what));
        }
    }
}

impl<'ast> Visit<'ast> for Functions<'_> {
    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        self.check(&item.sig, &item.block);
        syn::visit::visit_item_fn(self, item);
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        self.check(&item.sig, &item.block);
        syn::visit::visit_impl_item_fn(self, item);
    }
}

/// Every Rust file that does not begin by saying what it is.
#[must_use]
pub fn headless_files(tree: &Tree) -> Vec<Violation> {
    tree.rust("")
        .filter(|f| !f.text().starts_with("//! "))
        .map(|f| Violation::at(&f.path, 1, "does not begin with `//!` and a sentence"))
        .collect()
}

/// Every file that is too large.
#[must_use]
pub fn big_files(tree: &Tree) -> Vec<Violation> {
    tree.files
        .iter()
        .filter(|f| f.size_bytes > FILE_BYTES)
        .map(|f| Violation::at(&f.path, 0, format!("{} bytes: over 2 MiB", f.size_bytes)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(path: &str, text: &str) -> Tree {
        Tree { files: vec![SourceFile::written(path, text)] }
    }

    #[test]
    fn a_file_of_401_lines_is_found() {
        assert_eq!(long_files(&one("app/src/a.rs", &"\n".repeat(401))).len(), 1);
        assert_eq!(long_files(&one("app/src/a.rs", &"\n".repeat(400))), []);
    }

    #[test]
    fn a_function_of_61_lines_is_found_also_as_a_method() {
        let body = |lines: usize| format!("fn f() {{\n{}}}", "g();\n".repeat(lines - 2));
        assert_eq!(long_functions(&one("app/src/a.rs", &body(61))).len(), 1);
        assert_eq!(long_functions(&one("app/src/a.rs", &body(60))), []);
        let method = format!("impl A {{ {} }}", body(61));
        assert_eq!(long_functions(&one("app/src/a.rs", &method)).len(), 1);
    }

    #[test]
    fn a_file_without_its_sentence_is_found() {
        assert_eq!(headless_files(&one("app/src/a.rs", "use x;")).len(), 1);
        assert_eq!(headless_files(&one("app/src/a.rs", "//! What it is.\n")), []);
    }

    #[test]
    fn a_file_over_two_mebibytes_is_found() {
        let mut file = SourceFile::written("tests/reference/fixtures/a.mp4", "");
        file.size_bytes = FILE_BYTES + 1;
        assert_eq!(big_files(&Tree { files: vec![file] }).len(), 1);
    }
}
