//! Names that may stand in some places only: the browser's, the calibration's, and what makes a page fall.

use super::Violation;
use super::source::{Kind, SourceFile, Token, Tree};

/// Crates that are the browser, or lead to it.
const BROWSER: [&str; 7] =
    ["web_sys", "js_sys", "wasm_bindgen", "wasm_bindgen_futures", "gloo", "yew", "idb"];
/// Where the browser may be named.
const BROWSER_PLACES: [&str; 3] = ["app/src/browser/", "app/src/ui/", "app/src/bin/"];
/// Layers of the app that know no browser.
const PURE: [&str; 4] = ["app/src/session/", "app/src/results/", "app/src/media/", "app/src/jobs/"];
/// Crates that know no browser.
const PURE_CRATES: [&str; 3] = ["mechanics/", "tracking/", "demo-clips/"];
/// Macros that end the program.
const FALLS: [&str; 4] = ["panic", "todo", "unimplemented", "unreachable"];

/// Every place outside of `browser`, `ui` and `bin` that names the browser.
#[must_use]
pub fn browser_elsewhere(tree: &Tree) -> Vec<Violation> {
    let mut found = Vec::new();
    for file in tree.files.iter().filter(|f| f.is_rust()) {
        let pure = PURE.iter().chain(&PURE_CRATES).any(|p| file.path.starts_with(p));
        let outside = file.path.starts_with("app/src/")
            && !BROWSER_PLACES.iter().any(|p| file.path.starts_with(p));
        if !(pure || outside) {
            continue;
        }
        for token in file.tokens() {
            let named = |b: &&str| token.text == **b || token.text.starts_with("gloo_");
            if token.kind == Kind::Name && BROWSER.iter().any(named) {
                let what = format!("`{}` is named outside of browser and ui", token.text);
                found.push(Violation::at(&file.path, token.line, what));
            }
        }
    }
    found
}

/// Every place of the app, but `results/analyse*`, that turns pixels into metres.
#[must_use]
pub fn metres_elsewhere(tree: &Tree) -> Vec<Violation> {
    let mut found = Vec::new();
    for file in tree.rust("app/src/") {
        if file.path.starts_with("app/src/results/analyse") {
            continue;
        }
        let tokens = file.tokens();
        for (i, token) in tokens.iter().enumerate() {
            let method = ["to_point", "point_from_pixel", "to_metres", "points_from_pixels"];
            let makes_point = token.is_name("Point")
                && tokens.get(i + 1).is_some_and(|t| t.is_sign("{"))
                && !tokens.get(i.wrapping_sub(1)).is_some_and(|t| t.is_sign(">"));
            let called = token.kind == Kind::Name && method.contains(&token.text.as_str());
            let mechanical = token.is_name("Calibration") && path_before(&tokens, i, "space");
            if called || makes_point || mechanical {
                let what = "only results/analyse turns pixels into metres: ask it";
                found.push(Violation::at(&file.path, token.line, what));
            }
        }
    }
    found
}

/// Whether the statement that holds token `i` names `module` before it, as a path or a use does.
fn path_before(tokens: &[Token], i: usize, module: &str) -> bool {
    tokens
        .iter()
        .take(i)
        .rev()
        .take_while(|t| !t.is_sign(";") && !t.is_sign("("))
        .take(24)
        .any(|t| t.is_name(module))
}

/// Every place outside of tests where bad input could end the program, and every unsafe one.
#[must_use]
pub fn falls(tree: &Tree) -> Vec<Violation> {
    tree.files.iter().filter(|f| is_product(f)).flat_map(falls_in).collect()
}

fn is_product(file: &SourceFile) -> bool {
    let of_tests = file.path.ends_with("/tests.rs") || file.path.ends_with("_tests.rs");
    file.is_rust() && file.path.contains("/src/") && file.crate_folder() != "tests" && !of_tests
}

fn falls_in(file: &SourceFile) -> Vec<Violation> {
    let tokens = file.tokens();
    let mut found = Vec::new();
    for (i, token) in tokens.iter().enumerate() {
        let next = |sign| tokens.get(i + 1).is_some_and(|t| t.is_sign(sign));
        let after_dot = i > 0 && tokens.get(i - 1).is_some_and(|t| t.is_sign("."));
        let taken = (token.is_name("unwrap") || token.is_name("expect")) && after_dot && next("(");
        let taken = taken && !is_reasoned(&tokens, i);
        let ended = token.kind == Kind::Name && FALLS.contains(&token.text.as_str()) && next("!");
        if taken || ended || token.is_name("unsafe") {
            let what = format!("`{}` outside of tests: answer with an error", token.text);
            found.push(Violation::at(&file.path, token.line, what));
        }
    }
    found
}

/// Whether the lint is set aside on this statement or on its function, which the compiler lets nobody do
/// without a reason.
fn is_reasoned(tokens: &[Token], i: usize) -> bool {
    let before = |end: usize| {
        tokens.iter().take(end).rev().take_while(|t| !t.is_sign("}") && !t.is_sign(";"))
    };
    let said = |end: usize| {
        let words: Vec<&Token> = before(end).collect();
        words.iter().any(|t| t.is_name("expect_used")) && words.iter().any(|t| t.is_name("reason"))
    };
    let function = tokens.iter().take(i).rposition(|t| t.is_name("fn"));
    said(i) || function.is_some_and(said)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(path: &str, text: &str) -> Tree {
        Tree { files: vec![SourceFile::written(path, text)] }
    }

    #[test]
    fn the_browser_named_in_a_pure_layer_is_found() {
        let text = "use web_sys::Window;";
        assert_eq!(browser_elsewhere(&one("app/src/session/model.rs", text)).len(), 1);
        assert_eq!(browser_elsewhere(&one("app/src/lib.rs", text)).len(), 1);
        assert_eq!(browser_elsewhere(&one("tracking/src/lib.rs", "use gloo_timers::x;")).len(), 1);
        assert_eq!(browser_elsewhere(&one("app/src/ui/app.rs", text)), []);
    }

    #[test]
    fn pixels_turned_into_metres_elsewhere_are_found() {
        let calls = "fn f(c: C, p: Pixel) { c.to_point(p); }";
        let makes = "fn f() { let p = Point { x_m: 1.0, y_m: 2.0 }; }";
        let names = "use mechanics::space::{Calibration, Pixel};";
        for text in [calls, makes, names] {
            assert_eq!(metres_elsewhere(&one("app/src/ui/stage.rs", text)).len(), 1, "{text}");
            assert_eq!(metres_elsewhere(&one("app/src/results/analyse.rs", text)), []);
        }
        let own = "use crate::session::Calibration; fn f() -> Point { g() }";
        assert_eq!(metres_elsewhere(&one("app/src/ui/stage.rs", own)), []);
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
            assert_eq!(falls(&one("app/src/media/a.rs", text)).len(), 1, "{text}");
        }
        let fine = "#[expect(dead_code, reason = \"x\")] fn f() { x.unwrap_or(1); }
            #[cfg(test)] mod tests { #[test] fn t() { x.unwrap(); } }";
        assert_eq!(falls(&one("app/src/media/a.rs", fine)), []);
    }
}
