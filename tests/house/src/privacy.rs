//! Nothing leaves the device: no call that sends, connects or navigates away, and no style that the policy forbids.

use super::Violation;
use super::source::{Kind, SourceFile, Token, Tree};

/// What sends or connects, in lower case without underscores, for Rust and scripts alike.
const SENDS: [&str; 9] = [
    "fetch",
    "rtcpeerconnection",
    "websocket",
    "webtransport",
    "eventsource",
    "sendbeacon",
    "xmlhttprequest",
    "serviceworkerregistrationsync",
    "importscripts",
];
/// What navigates away from the page when called on a location or a window.
const NAVIGATES: [&str; 7] =
    ["assign", "set_href", "set_search", "set_pathname", "set_host", "set_hostname", "replace"];
/// The files of the shell that load it and may fetch from their own origin.
const LOADERS: [&str; 3] = ["sw.js", "page.js", "worker.js"];

fn plain(name: &str) -> String {
    name.chars().filter(|c| *c != '_').flat_map(char::to_lowercase).collect()
}

/// Every place in the app or its manifest that could send.
#[must_use]
pub fn sends_in_app(tree: &Tree) -> Vec<Violation> {
    let mut found: Vec<Violation> = ["app/", "mechanics/", "tracking/"]
        .iter()
        .flat_map(|c| tree.rust(c))
        .flat_map(sends_in_rust)
        .collect();
    let manifests =
        tree.files.iter().filter(|f| f.path.starts_with("app/") && f.path.ends_with("Cargo.toml"));
    for manifest in manifests {
        for (number, line) in manifest.text().lines().enumerate() {
            let line = plain(line);
            for name in SENDS.iter().filter(|n| line.contains(**n)) {
                let what =
                    format!("`{name}` is a feature of the browser that sends: nothing may be sent");
                found.push(Violation::at(&manifest.path, number + 1, what));
            }
        }
    }
    found
}

fn sends_in_rust(file: &SourceFile) -> Vec<Violation> {
    let tokens = file.tokens();
    let mut found = Vec::new();
    for (i, token) in tokens.iter().enumerate() {
        let name = plain(token.text.trim_matches('"'));
        let sends = match token.kind {
            Kind::Name => {
                SENDS.contains(&name.as_str())
                    || token.text.starts_with("fetch_with")
                    || token.text.starts_with("send_beacon")
            }
            Kind::Literal => SENDS.contains(&name.as_str()) || token.text.contains("fetch("),
            _ => false,
        };
        if sends || navigates_away(&tokens, i) {
            let what =
                format!("`{}` sends or navigates away: nothing may leave the device", token.text);
            found.push(Violation::at(&file.path, token.line, what));
        }
    }
    found
}

/// `location.….assign`, `location().set_href`, `window().open_with_url` and the like.
fn navigates_away(tokens: &[Token], i: usize) -> bool {
    let Some(token) = tokens.get(i) else { return false };
    let opens = token.text.starts_with("open_with_url") && token.kind == Kind::Name;
    let of_location = token.is_name("location")
        && tokens
            .iter()
            .skip(i + 1)
            .take(12)
            .take_while(|t| !t.is_sign(";"))
            .any(|t| t.kind == Kind::Name && NAVIGATES.contains(&t.text.as_str()));
    opens || of_location
}

/// Every line of the shell's scripts and pages that sends or navigates away; the loaders may fetch.
#[must_use]
pub fn sends_in_shell(tree: &Tree) -> Vec<Violation> {
    let shell = |f: &&SourceFile| {
        f.path.starts_with("www/") && [".js", ".mjs", ".html"].iter().any(|e| f.path.ends_with(e))
    };
    tree.files.iter().filter(shell).flat_map(sends_in_script).collect()
}

fn sends_in_script(file: &SourceFile) -> Vec<Violation> {
    let loads = LOADERS.iter().any(|l| file.path.ends_with(&format!("/{l}")));
    let mut found = Vec::new();
    for (number, line) in file.text().lines().enumerate() {
        if line.trim_start().starts_with("//") {
            continue;
        }
        let flat: String = line.split_whitespace().collect();
        let low = plain(&flat);
        let sends = SENDS.iter().any(|n| *n != "fetch" && low.contains(n));
        let fetches = low.contains("fetch(") && !loads;
        let navigates = flat.contains("window.open(")
            || flat.contains("location.assign(")
            || flat.contains("location.replace(")
            || assigned(&flat, "location")
            || assigned(&flat, "location.href");
        if sends || fetches || navigates {
            let what = "this sends or navigates away: nothing may leave the device";
            found.push(Violation::at(&file.path, number + 1, what));
        }
    }
    found
}

/// Whether `name=` stands in the line, and not `name==`.
fn assigned(line: &str, name: &str) -> bool {
    let with = format!("{name}=");
    line.match_indices(&with).any(|(at, _)| !line[at + with.len()..].starts_with(['=', '>']))
}

/// Every style in an element, which the policy of the page forbids.
#[must_use]
pub fn inline_styles(tree: &Tree) -> Vec<Violation> {
    let what = "a style in an element is not applied under the page's policy: use a class";
    let mut found = Vec::new();
    for file in tree.rust("app/") {
        let tokens = file.tokens();
        for (i, token) in tokens.iter().enumerate() {
            let attribute = token.is_name("style")
                && tokens.get(i + 1).is_some_and(|t| t.is_sign("="))
                && in_element(&tokens, i);
            if attribute || (token.kind == Kind::Literal && token.text == "\"style\"") {
                found.push(Violation::at(&file.path, token.line, what));
            }
        }
    }
    for file in tree.files.iter().filter(|f| f.path.ends_with(".html")) {
        for (number, line) in file.text().lines().enumerate() {
            if line.contains(" style=") || line.contains("<style") {
                found.push(Violation::at(&file.path, number + 1, what));
            }
        }
    }
    found
}

/// Whether token `i` stands between `<name` and `>`, and not after `let`.
fn in_element(tokens: &[Token], i: usize) -> bool {
    for token in tokens.iter().take(i).rev() {
        if token.is_sign("<") {
            return true;
        }
        if token.is_name("let") || token.is_sign(";") {
            return false;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(path: &str, text: &str) -> Tree {
        Tree { files: vec![SourceFile::written(path, text)] }
    }

    #[test]
    fn whatever_sends_is_found_in_the_app() {
        for text in [
            "fn f() { window().fetch_with_str(\"x\"); }",
            "use web_sys::RtcPeerConnection;",
            "fn f() { Reflect::get(&w, \"WebSocket\"); }",
            "fn f() { navigator.send_beacon(\"x\"); }",
            "fn f() { window().location().set_href(\"x\"); }",
            "fn f() { window().open_with_url(\"x\"); }",
            "fn f() { eval(\"fetch('x')\"); }",
        ] {
            assert_eq!(sends_in_app(&one("app/src/browser/a.rs", text)).len(), 1, "{text}");
        }
        let fine = "fn f() { anchor.set_href(&url); window().location().reload(); fetched(); }";
        assert_eq!(sends_in_app(&one("app/src/browser/a.rs", fine)), []);
        let asked = "[dependencies.web-sys]\nfeatures = [\"WebSocket\"]\n";
        assert_eq!(sends_in_app(&one("app/Cargo.toml", asked)).len(), 1);
    }

    #[test]
    fn whatever_sends_is_found_in_the_shell_and_only_the_loaders_fetch() {
        for text in [
            "window.open('x')",
            "location = 'x'",
            "window.location.href = 'x'",
            "new EventSource('x')",
            "fetch('x')",
        ] {
            assert_eq!(sends_in_shell(&one("www/shell/a.js", text)).len(), 1, "{text}");
        }
        assert_eq!(sends_in_shell(&one("www/shell/sw.js", "fetch(event.request)")), []);
        assert_eq!(sends_in_shell(&one("www/shell/a.js", "if (location.href === x) {}")), []);
        assert_eq!(sends_in_shell(&one("www/shell/sw.js", "new WebSocket('x')")).len(), 1);
    }

    #[test]
    fn a_style_in_an_element_is_found_and_a_variable_is_not() {
        let bad = "fn f() -> Html { html! { <p class=\"a\" style={w}>{ 1 }</p> } }";
        assert_eq!(inline_styles(&one("app/src/ui/a.rs", bad)).len(), 1);
        let set = "fn f() { e.set_attribute(\"style\", \"x\"); }";
        assert_eq!(inline_styles(&one("app/src/ui/a.rs", set)).len(), 1);
        let fine = "fn f() -> Html { let style = 1; html! { <p>{ style }</p> } }";
        assert_eq!(inline_styles(&one("app/src/ui/a.rs", fine)), []);
        assert_eq!(inline_styles(&one("www/shell/index.html", "<p style=\"x\">")).len(), 1);
    }
}
