//! A new version is installed as a whole or not at all, and never replaces a page in use.

use super::common::{SHOWN, at_work, change, journey_on, only_stored, saved_as};
use journeys::browser::{Browser, Result, Setup, site_folder};
use journeys::clips::ClipFolder;
use site::serve::Server;
use std::path::Path;

/// A copy of the site that can be changed while the browser uses it.
fn copy(from: &Path, to: &Path) -> std::io::Result<()> {
    std::fs::create_dir_all(to)?;
    for entry in std::fs::read_dir(from)?.flatten() {
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target)?;
        } else {
            std::fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}

/// The files that the service worker caches, from its own list.
fn files(service_worker: &str) -> Vec<String> {
    let list = service_worker.split("const FILES = ").nth(1).and_then(|s| s.split(';').next());
    list.and_then(|l| serde_json::from_str(l).ok()).unwrap_or_default()
}

fn as_version(service_worker: &str, version: &str) -> String {
    let (before, rest) = service_worker.split_once("const VERSION = \"").unwrap();
    let (_, after) = rest.split_once('"').unwrap();
    format!("{before}const VERSION = \"{version}\"{after}")
}

/// Checks for a new version: `waiting`, `failed`, or `none`.
const CHECK: &str = "
    const done = arguments[0];
    (async () => {
        const registration = await navigator.serviceWorker.ready;
        await registration.update().catch(() => {});
        const worker = registration.installing ?? registration.waiting;
        if (!worker) return 'none';
        while (worker.state === 'installing') await new Promise((next) => setTimeout(next, 20));
        return worker.state === 'redundant' ? 'failed' : 'waiting';
    })().then(done, (error) => done(String(error)));
";

const CACHES: &str = "
    const done = arguments[0];
    (async () => {
        const answer = [];
        for (const name of await caches.keys()) answer.push([name, (await (await caches.open(name)).keys()).length]);
        return answer;
    })().then(done, (error) => done(String(error)));
";

async fn ask(browser: &Browser, script: &str) -> Result<serde_json::Value> {
    Ok(browser.client.execute_async(script, Vec::new()).await?)
}

fn an_update_that_breaks_off_at_any_file_leaves_the_old_version_and_a_whole_one_waits_for_consent()
{
    let Some(built) = site_folder() else { return };
    let scratch = ClipFolder::new().unwrap();
    let site = scratch.path().join("site");
    copy(&built, &site).unwrap();
    journey_on(&site, Setup::BREAKING, async |browser, server| {
        update(browser, server, &site).await
    });
}

async fn update(browser: &Browser, server: &Server, site: &Path) -> Result<()> {
    at_work(browser, server).await?;
    browser.until("navigator.serviceWorker.controller !== null", 20).await?;
    let whole = ask(browser, CACHES).await?;
    browser.script("window.unmoved = true;").await?;
    let path = site.join("sw.js");
    let first = std::fs::read_to_string(&path)?;
    let all = files(&first);
    assert!(all.len() > 10);
    for (index, file) in all.iter().enumerate() {
        let file = if file == "./" { "index.html" } else { file };
        let aside = site.join("aside");
        std::fs::write(&path, as_version(&first, &format!("broken{index}")))?;
        std::fs::rename(site.join(file), &aside)?;
        let found = ask(browser, CHECK).await?;
        std::fs::rename(&aside, site.join(file))?;
        assert_eq!(found.as_str(), Some("failed"), "without {file}");
        assert_eq!(ask(browser, CACHES).await?, whole, "without {file}");
    }
    println!("{} updates that broke off, each at another file", all.len());
    std::fs::write(&path, as_version(&first, "whole"))?;
    assert_eq!(ask(browser, CHECK).await?.as_str(), Some("waiting"));
    browser
        .until("document.body.innerText.includes('A new version of this page is ready')", 10)
        .await?;
    // It waits: the page is the same, in use, and saves.
    change(browser, "before").await?;
    saved_as(browser, "before").await?;
    assert_eq!(browser.script("return window.unmoved;").await?.as_bool(), Some(true));
    unsaved_is_not_left(browser).await?;
    browser.press("Load it now").await?;
    browser
        .until("window.unmoved === undefined && document.querySelector('.home') !== null", 20)
        .await?;
    let now = ask(browser, CACHES).await?;
    assert!(now.to_string().contains("stride-ledger-whole"), "{now}");
    assert_eq!(only_stored(browser).await?, "after");
    browser.choose_file("Open a clip", &super::common::clip()).await?;
    browser.until(SHOWN, 20).await
}

/// While something is unsaved, the new version cannot be loaded.
async fn unsaved_is_not_left(browser: &Browser) -> Result<()> {
    browser
        .script(
            "window.was = IDBObjectStore.prototype.put;
             IDBObjectStore.prototype.put = () => { throw new DOMException('made to fail', 'QuotaExceededError'); };",
        )
        .await?;
    change(browser, "after").await?;
    browser.until("document.querySelector('.saved').innerText.startsWith('Not saved')", 5).await?;
    let load =
        "[...document.querySelectorAll('button')].find((b) => b.innerText === 'Load it now')";
    browser.until(&format!("{load}.disabled"), 5).await?;
    browser.script("IDBObjectStore.prototype.put = window.was;").await?;
    browser.until(&format!("!{load}.disabled"), 9).await
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["saving::updates": an_update_that_breaks_off_at_any_file_leaves_the_old_version_and_a_whole_one_waits_for_consent]
}
