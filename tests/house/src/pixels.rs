//! One file turns pixels into metres.

use super::Violation;
use super::source::{Kind, Token, Tree};

/// Every place of the app outside of `results/analyse` that turns pixels into metres.
#[must_use]
pub fn metres_elsewhere(tree: &Tree) -> Vec<Violation> {
    let mut found = Vec::new();
    for file in tree.rust("app/").filter(|f| f.path.contains("/src/")) {
        if file.path.contains("/src/results/analyse") {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::SourceFile;

    fn one(path: &str, text: &str) -> Tree {
        Tree { files: vec![SourceFile::written(path, text)] }
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
}
