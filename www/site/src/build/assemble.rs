//! Puts the compiled programs, the shell and the example clips together.

use super::bundle::Bundle;
use super::compile::Module;
use super::icon;
use super::place::Place;
use crate::{SiteError, policy};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// What stands between at signs in the shell's files, and what takes its place.
type Words = BTreeMap<&'static str, String>;

/// The whole site.
///
/// # Errors
/// [`SiteError::File`] for what cannot be read, [`SiteError::Placeholder`] for a shell that asks for too much.
pub fn assemble(place: &Place, modules: &[Module]) -> Result<Bundle, SiteError> {
    let shell = place.shell();
    let mut bundle = Bundle::default();
    let mut words = Words::new();
    add_modules(&mut bundle, &mut words, modules);
    add_icons(&mut bundle, &mut words, &shell)?;
    let clips = add_clips(&mut bundle, &place.clips())?;
    words.insert("CLIPS", clips.to_string());
    words.insert("META_POLICY", policy::meta_policy());
    words.insert("STYLES", bundle.add_hashed("styles.css", read(&shell.join("styles.css"))?));
    // The program of the page runs in a worker too, for what it repeats behind the screen.
    for (word, file, [bindings, wasm]) in [
        ("WORKER", "worker.js", ["WORKER_BINDINGS", "WORKER_WASM"]),
        ("REPEATS", "repeats.js", ["PAGE_BINDINGS", "PAGE_WASM"]),
    ] {
        let mut own = words.clone();
        let named = [("BINDINGS", bindings), ("WASM", wasm)];
        own.extend(named.into_iter().filter_map(|(name, of)| Some((name, words.get(of)?.clone()))));
        let text = fill(&shell, "worker.js", &own)?;
        words.insert(word, bundle.add_hashed(file, text.into_bytes()));
    }
    // Each of these may name those before it.
    for (word, file) in [("PAGE", "page.js"), ("MANIFEST", "manifest.webmanifest")] {
        let text = fill(&shell, file, &words)?;
        words.insert(word, bundle.add_hashed(file, text.into_bytes()));
    }
    bundle.add("index.html", fill(&shell, "index.html", &words)?.into_bytes());
    add_service_worker(&mut bundle, &mut words, &shell)?;
    bundle.add("SHA256SUMS", bundle.sums().into_bytes());
    Ok(bundle)
}

fn add_modules(bundle: &mut Bundle, words: &mut Words, modules: &[Module]) {
    for module in modules {
        let name = &module.name;
        let wasm = bundle.add_hashed(&format!("{name}.wasm"), module.wasm.clone());
        let bindings = bundle.add_hashed(&format!("{name}-bindings.js"), module.bindings.clone());
        for (path, bytes) in &module.snippets {
            // wasm-bindgen names these by content already, and the bindings import them by this path.
            bundle.add(path, bytes.clone());
        }
        let keys = if name == "page" {
            ["PAGE_WASM", "PAGE_BINDINGS"]
        } else {
            ["WORKER_WASM", "WORKER_BINDINGS"]
        };
        for (key, path) in keys.into_iter().zip([wasm, bindings]) {
            words.insert(key, path);
        }
    }
}

fn add_icons(bundle: &mut Bundle, words: &mut Words, shell: &Path) -> Result<(), SiteError> {
    let svg = fill(shell, "mark.svg", words)?;
    for (word, file, size_px) in [
        ("ICON_180", "icons/mark-180.png", 180),
        ("ICON_192", "icons/mark-192.png", 192),
        ("ICON_512", "icons/mark-512.png", 512),
    ] {
        words.insert(word, bundle.add_hashed(file, icon::png(&svg, size_px)?));
    }
    words.insert("ICON_SVG", bundle.add_hashed("icons/mark.svg", svg.into_bytes()));
    Ok(())
}

/// Ships the clips and answers, for the loader, which name is at which path.
fn add_clips(bundle: &mut Bundle, folder: &Path) -> Result<Value, SiteError> {
    let mut found = serde_json::Map::new();
    let Ok(entries) = folder.read_dir() else {
        return Ok(Value::Object(found));
    };
    let mut files: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    files.sort();
    for file in
        files.iter().filter(|file| file.extension().is_some_and(|extension| extension == "mp4"))
    {
        let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let path = bundle.add_hashed(&format!("clips/{name}"), read(file)?);
        found.insert(name, json!(path));
    }
    Ok(Value::Object(found))
}

/// The service worker keeps all that the bundle holds so far: all of it, or nothing.
fn add_service_worker(
    bundle: &mut Bundle,
    words: &mut Words,
    shell: &Path,
) -> Result<(), SiteError> {
    let files: Vec<&str> =
        bundle.paths().map(|path| if path == "index.html" { "./" } else { path }).collect();
    words.insert("FILES", json!(files).to_string());
    words.insert("VERSION", bundle.version());
    words.insert("HEADERS", json!(policy::headers()).to_string());
    bundle.add("sw.js", fill(shell, "sw.js", words)?.into_bytes());
    Ok(())
}

/// A file of the shell with every `@WORD@` replaced.
fn fill(shell: &Path, file: &str, words: &Words) -> Result<String, SiteError> {
    let path = shell.join(file);
    let mut text = fs::read_to_string(&path).map_err(SiteError::file("cannot read", &path))?;
    for (word, value) in words {
        text = text.replace(&format!("@{word}@"), value);
    }
    match left_over(&text) {
        None => Ok(text),
        Some(placeholder) => Err(SiteError::Placeholder { file: file.to_owned(), placeholder }),
    }
}

fn left_over(text: &str) -> Option<String> {
    text.split('@').skip(1).find_map(|part| {
        let placeholder = part.len() > 1
            && part.chars().all(|c| c.is_ascii_uppercase() || c == '_' || c.is_ascii_digit());
        placeholder.then(|| part.to_owned())
    })
}

fn read(path: &Path) -> Result<Vec<u8>, SiteError> {
    fs::read(path).map_err(SiteError::file("cannot read", path))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn modules() -> Vec<Module> {
        ["page", "worker"]
            .map(|name| Module {
                name: name.to_owned(),
                wasm: format!("wasm of {name}").into_bytes(),
                bindings: format!("bindings of {name}").into_bytes(),
                snippets: BTreeMap::from([(
                    format!("snippets/{name}-0123456789abcdef/inline0.js"),
                    b"x".to_vec(),
                )]),
            })
            .to_vec()
    }

    fn place() -> Place {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap().to_path_buf();
        Place { target: root.join("target"), root }
    }

    fn text(bundle: &Bundle, path: &str) -> String {
        String::from_utf8(bundle.get(path).unwrap().to_vec()).unwrap()
    }

    fn named<'a>(bundle: &'a Bundle, stem: &str, extension: &str) -> Vec<&'a str> {
        bundle.paths().filter(|path| path.starts_with(stem) && path.ends_with(extension)).collect()
    }

    #[test]
    fn the_service_worker_keeps_every_file_but_itself_and_the_sums() {
        let bundle = assemble(&place(), &modules()).unwrap();
        let worker = text(&bundle, "sw.js");
        let list = worker.split("const FILES = ").nth(1).unwrap().split(';').next().unwrap();
        let mut list: Vec<String> = serde_json::from_str(list).unwrap();
        let mut expected: Vec<String> = bundle
            .paths()
            .filter(|path| !["sw.js", "SHA256SUMS", "index.html"].contains(path))
            .map(str::to_owned)
            .collect();
        expected.push("./".to_owned());
        list.sort();
        expected.sort();
        assert_eq!(list, expected);
        assert!(list.len() > 10, "{list:?}");
    }

    #[test]
    fn every_clip_of_the_example_is_shipped_and_no_truth() {
        let bundle = assemble(&place(), &modules()).unwrap();
        let clips = |ending: &str| {
            place().clips().read_dir().map_or(0, |entries| {
                entries
                    .flatten()
                    .filter(|entry| entry.file_name().to_string_lossy().ends_with(ending))
                    .count()
            })
        };
        assert_eq!(named(&bundle, "clips/", ".mp4").len(), clips(".mp4"));
        assert_eq!(named(&bundle, "clips/", "").len(), clips(".mp4"));
    }

    #[test]
    fn the_page_names_only_files_that_are_there() {
        let bundle = assemble(&place(), &modules()).unwrap();
        let page = named(&bundle, "page-", ".js");
        let sources = [
            text(&bundle, "index.html"),
            page.iter().map(|path| text(&bundle, path)).collect::<String>(),
        ];
        let mut seen = 0;
        for source in sources {
            for word in source.split(['"', '\'']) {
                let word = word.strip_prefix("./").unwrap_or(word);
                if [".js", ".css", ".wasm", ".webmanifest", ".svg", ".png", ".mp4"]
                    .iter()
                    .any(|end| word.ends_with(end))
                {
                    // A clip is asked for by its own name, which stands for a file with a hash in its name.
                    let clip = word.strip_suffix(".mp4").filter(|_| !word.contains('/'));
                    let is_there = match clip {
                        Some(stem) => named(&bundle, &format!("clips/{stem}-"), ".mp4").len() == 1,
                        None => bundle.get(word).is_some(),
                    };
                    assert!(is_there, "{word}");
                    seen += 1;
                }
            }
        }
        assert!(seen >= 8, "{seen}");
    }

    #[test]
    fn the_policy_stands_in_the_page_and_nothing_in_it_is_inline() {
        let page = text(&assemble(&place(), &modules()).unwrap(), "index.html");
        assert!(page.contains(&policy::meta_policy()));
        assert!(!page.contains("<style") && !page.contains(" style="));
        for script in page.split("<script").skip(1) {
            assert!(script.contains(" src=") && script.contains("></script>"), "{script}");
        }
    }

    #[test]
    fn the_service_worker_adds_every_header_again() {
        let worker = text(&assemble(&place(), &modules()).unwrap(), "sw.js");
        for (name, value) in policy::headers() {
            assert!(worker.contains(&json!([name, value]).to_string()), "{name}");
        }
    }

    #[test]
    fn a_shell_that_asks_for_too_much_is_refused() {
        assert_eq!(left_over("a @NOT_THERE@ b"), Some("NOT_THERE".to_owned()));
        assert_eq!(left_over("@media (x) { } @media (y) { }"), None);
    }

    #[test]
    fn the_sums_name_every_file_but_their_own() {
        let bundle = assemble(&place(), &modules()).unwrap();
        let sums = text(&bundle, "SHA256SUMS");
        assert_eq!(sums.lines().count(), bundle.paths().count() - 1);
        assert!(sums.lines().any(|line| line.ends_with("  sw.js")));
    }
}
