//! Nothing from outside can end the program: no `unwrap`, no `panic!`, no `unsafe` outside of tests.

use super::Violation;
use super::source::{Kind, SourceFile, Token, Tree};

/// Macros that end the program.
const PANICS: [&str; 4] = ["panic", "todo", "unimplemented", "unreachable"];

/// Every place outside of tests that could end the program, and every unsafe one.
#[must_use]
pub fn panics(tree: &Tree) -> Vec<Violation> {
    tree.files.iter().filter(|f| is_product(f)).flat_map(panics_in).collect()
}

fn is_product(file: &SourceFile) -> bool {
    // Also the files of a module of tests in a folder of its own, as in `src/ui/tests/page.rs`.
    let of_tests = file.path.ends_with("/tests.rs")
        || file.path.ends_with("_tests.rs")
        || file.path.split_once("/src/").is_some_and(|(_, inside)| in_folder_of_tests(inside));
    file.is_rust() && file.path.contains("/src/") && file.crate_folder() != "tests" && !of_tests
}

fn in_folder_of_tests(inside: &str) -> bool {
    inside.starts_with("tests/") || inside.contains("/tests/")
}

fn panics_in(file: &SourceFile) -> Vec<Violation> {
    let tokens = file.tokens();
    let mut found = Vec::new();
    for (i, token) in tokens.iter().enumerate() {
        let next = |sign| tokens.get(i + 1).is_some_and(|t| t.is_sign(sign));
        let after_dot = i > 0 && tokens.get(i - 1).is_some_and(|t| t.is_sign("."));
        let taken = (token.is_name("unwrap") || token.is_name("expect")) && after_dot && next("(");
        let taken = taken && !is_reasoned(&tokens, i);
        let ended = token.kind == Kind::Name && PANICS.contains(&token.text.as_str()) && next("!");
        if taken || ended || token.is_name("unsafe") {
            let what = format!("`{}` outside of tests: answer with an error", token.text);
            found.push(Violation::at(&file.path, token.line, what));
        }
    }
    found
}

/// Whether the lint is switched off on this statement or its function, which the compiler allows only with a reason.
fn is_reasoned(tokens: &[Token], i: usize) -> bool {
    let before = |end: usize| {
        tokens.iter().take(end).rev().take_while(|t| !t.is_sign("}") && !t.is_sign(";"))
    };
    let has_reason = |end: usize| {
        let words: Vec<&Token> = before(end).collect();
        words.iter().any(|t| t.is_name("expect_used")) && words.iter().any(|t| t.is_name("reason"))
    };
    let function = tokens.iter().take(i).rposition(|t| t.is_name("fn"));
    has_reason(i) || function.is_some_and(has_reason)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(path: &str, text: &str) -> Tree {
        Tree { files: vec![SourceFile::written(path, text)] }
    }

    #[test]
    fn what_could_end_the_program_is_found() {
        for text in [
            "fn f() { x.unwrap(); }",
            "fn f() { x.expect(\"y\"); }",
            "fn f() { panic!(\"y\"); }",
            "fn f() { todo!(); }",
            "unsafe fn f() {}",
        ] {
            assert_eq!(panics(&one("app/src/media/a.rs", text)).len(), 1, "{text}");
        }
        let fine = "#[expect(dead_code, reason = \"x\")] fn f() { x.unwrap_or(1); }
            #[cfg(test)] mod tests { #[test] fn t() { x.unwrap(); } }";
        assert_eq!(panics(&one("app/src/media/a.rs", fine)), []);
    }

    #[test]
    fn a_file_in_a_folder_of_tests_may_end_its_test() {
        let text = "fn f() { x.unwrap(); }";
        for path in ["app/page/src/ui/tests/a.rs", "app/page/src/tests/b/a.rs"] {
            assert_eq!(panics(&one(path, text)), [], "{path}");
        }
        for path in ["app/page/src/contests/a.rs", "app/page/src/ui/tests_of_speed/a.rs"] {
            assert_eq!(panics(&one(path, text)).len(), 1, "{path}");
        }
    }
}
