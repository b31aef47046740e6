//! Assembles the site from the compiled programs, the shell and the example clips.

use super::bundle::Bundle;
use super::compile::Module;
use super::icon;
use super::template::{Placeholders, fill};
use super::workspace::Workspace;
use crate::{SiteError, policy};
use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};

/// The whole site.
///
/// # Errors
/// [`SiteError::File`] for a file that cannot be read, [`SiteError::Placeholder`] for a shell that names an
/// unknown placeholder, [`SiteError::Icon`] for a drawing that cannot be rendered.
pub fn assemble(workspace: &Workspace, modules: &[Module]) -> Result<Bundle, SiteError> {
    let shell = workspace.shell();
    let mut bundle = Bundle::default();
    let mut values = Placeholders::new();
    add_modules(&mut bundle, &mut values, modules);
    add_icons(&mut bundle, &mut values, &shell)?;
    let clips = add_clips(&mut bundle, &workspace.clips())?;
    values.insert("CLIPS", clips.to_string());
    values.insert("META_POLICY", policy::meta_policy());
    values.insert("STYLES", bundle.add_hashed("styles.css", read(&shell.join("styles.css"))?));
    // The Monte Carlo worker runs the program of the page.
    for (name, file, [bindings, wasm]) in [
        ("WORKER", "worker.js", ["WORKER_BINDINGS", "WORKER_WASM"]),
        ("MONTE_CARLO", "monte-carlo.js", ["PAGE_BINDINGS", "PAGE_WASM"]),
    ] {
        let mut own = values.clone();
        let sources = [("BINDINGS", bindings), ("WASM", wasm)];
        own.extend(
            sources.into_iter().filter_map(|(name, of)| Some((name, values.get(of)?.clone()))),
        );
        let text = fill(&shell, "worker.js", &own)?;
        values.insert(name, bundle.add_hashed(file, text.into_bytes()));
    }
    // Each of these may name those before it.
    for (name, file) in [("PAGE", "page.js"), ("MANIFEST", "manifest.webmanifest")] {
        let text = fill(&shell, file, &values)?;
        values.insert(name, bundle.add_hashed(file, text.into_bytes()));
    }
    bundle.add("index.html", fill(&shell, "index.html", &values)?.into_bytes());
    add_service_worker(&mut bundle, &mut values, &shell)?;
    bundle.add("SHA256SUMS", bundle.sums().into_bytes());
    Ok(bundle)
}

fn add_modules(bundle: &mut Bundle, values: &mut Placeholders, modules: &[Module]) {
    for module in modules {
        let name = &module.name;
        let wasm = bundle.add_hashed(&format!("{name}.wasm"), module.wasm.clone());
        let bindings = bundle.add_hashed(&format!("{name}-bindings.js"), module.bindings.clone());
        for (path, bytes) in &module.snippets {
            // wasm-bindgen hashes their names already, and the bindings import them by this path.
            bundle.add(path, bytes.clone());
        }
        let keys = if name == "page" {
            ["PAGE_WASM", "PAGE_BINDINGS"]
        } else {
            ["WORKER_WASM", "WORKER_BINDINGS"]
        };
        for (key, path) in keys.into_iter().zip([wasm, bindings]) {
            values.insert(key, path);
        }
    }
}

fn add_icons(
    bundle: &mut Bundle,
    values: &mut Placeholders,
    shell: &Path,
) -> Result<(), SiteError> {
    let svg = fill(shell, "mark.svg", values)?;
    for (name, file, size_px) in [
        ("ICON_180", "icons/mark-180.png", 180),
        ("ICON_192", "icons/mark-192.png", 192),
        ("ICON_512", "icons/mark-512.png", 512),
    ] {
        values.insert(name, bundle.add_hashed(file, icon::png(&svg, size_px)?));
    }
    values.insert("ICON_SVG", bundle.add_hashed("icons/mark.svg", svg.into_bytes()));
    Ok(())
}

/// Adds the clips and returns, for the loader, the path of each name.
fn add_clips(bundle: &mut Bundle, folder: &Path) -> Result<Value, SiteError> {
    let mut paths = serde_json::Map::new();
    let Ok(entries) = folder.read_dir() else {
        return Ok(Value::Object(paths));
    };
    let mut files: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    files.sort();
    for file in
        files.iter().filter(|file| file.extension().is_some_and(|extension| extension == "mp4"))
    {
        let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let path = bundle.add_hashed(&format!("clips/{name}"), read(file)?);
        paths.insert(name, json!(path));
    }
    Ok(Value::Object(paths))
}

/// Adds the service worker, which caches every file of the bundle so far.
fn add_service_worker(
    bundle: &mut Bundle,
    values: &mut Placeholders,
    shell: &Path,
) -> Result<(), SiteError> {
    let files: Vec<&str> =
        bundle.paths().map(|path| if path == "index.html" { "./" } else { path }).collect();
    values.insert("FILES", json!(files).to_string());
    values.insert("VERSION", bundle.version());
    values.insert("HEADERS", json!(policy::headers()).to_string());
    bundle.add("sw.js", fill(shell, "sw.js", values)?.into_bytes());
    Ok(())
}

fn read(path: &Path) -> Result<Vec<u8>, SiteError> {
    fs::read(path).map_err(SiteError::file("cannot read", path))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

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

    fn workspace() -> Workspace {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap().to_path_buf();
        Workspace { target: root.join("target"), root }
    }

    fn text(bundle: &Bundle, path: &str) -> String {
        String::from_utf8(bundle.get(path).unwrap().to_vec()).unwrap()
    }

    fn named<'a>(bundle: &'a Bundle, stem: &str, extension: &str) -> Vec<&'a str> {
        bundle.paths().filter(|path| path.starts_with(stem) && path.ends_with(extension)).collect()
    }

    #[test]
    fn the_service_worker_caches_every_file_but_itself_and_the_sums() {
        let bundle = assemble(&workspace(), &modules()).unwrap();
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
    fn every_example_clip_is_in_the_site_and_no_truth() {
        let bundle = assemble(&workspace(), &modules()).unwrap();
        let clips = |ending: &str| {
            workspace().clips().read_dir().map_or(0, |entries| {
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
    fn the_page_names_only_files_of_the_site() {
        let bundle = assemble(&workspace(), &modules()).unwrap();
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
                    // The page names a clip without the hash that its path has.
                    let clip = word.strip_suffix(".mp4").filter(|_| !word.contains('/'));
                    let exists = match clip {
                        Some(stem) => named(&bundle, &format!("clips/{stem}-"), ".mp4").len() == 1,
                        None => bundle.get(word).is_some(),
                    };
                    assert!(exists, "{word}");
                    seen += 1;
                }
            }
        }
        assert!(seen >= 8, "{seen}");
    }

    #[test]
    fn the_page_has_the_policy_and_no_inline_code_or_style() {
        let page = text(&assemble(&workspace(), &modules()).unwrap(), "index.html");
        assert!(page.contains(&policy::meta_policy()));
        assert!(!page.contains("<style") && !page.contains(" style="));
        for script in page.split("<script").skip(1) {
            assert!(script.contains(" src=") && script.contains("></script>"), "{script}");
        }
    }

    #[test]
    fn the_service_worker_sets_every_security_header() {
        let worker = text(&assemble(&workspace(), &modules()).unwrap(), "sw.js");
        for (name, value) in policy::headers() {
            assert!(worker.contains(&json!([name, value]).to_string()), "{name}");
        }
    }

    #[test]
    fn the_sums_list_every_file_but_themselves() {
        let bundle = assemble(&workspace(), &modules()).unwrap();
        let sums = text(&bundle, "SHA256SUMS");
        assert_eq!(sums.lines().count(), bundle.paths().count() - 1);
        assert!(sums.lines().any(|line| line.ends_with("  sw.js")));
    }
}
