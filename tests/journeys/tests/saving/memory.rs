//! The browser releases frames that were drawn; a worker out of memory panics during its work, and the session is
//! unchanged.

use super::common::{at_work, journey, journey_on, only_stored};
use journeys::browser::{Engine, OnlyChromium, PageMemory, Setup, page_memory, site_folder};
use journeys::clips::ClipFolder;
use journeys::options::options;
use serde_json::{Value, json};
use std::path::Path;
use std::time::Instant;

/// Pages of 64 KiB beyond those that the worker begins with. Chosen: less than one grey frame of 720p takes.
const PAGES: u32 = 12;

/// A number of variable length and its length in bytes.
///
/// Source: WebAssembly Core Specification 2.0, 5.2.2 (LEB128).
fn leb(bytes: &[u8]) -> (u32, usize) {
    let length = bytes.iter().position(|b| b & 0x80 == 0).unwrap() + 1;
    let value = bytes[..length].iter().rev().fold(0, |sum, b| sum << 7 | u32::from(b & 0x7f));
    (value, length)
}

fn as_leb(mut value: u32) -> Vec<u8> {
    let mut bytes = Vec::new();
    while value >= 0x80 {
        bytes.push(u8::try_from(value & 0x7f).unwrap() | 0x80);
        value >>= 7;
    }
    bytes.push(u8::try_from(value).unwrap());
    bytes
}

/// The module with a memory that can grow by this number of pages at most.
///
/// Source: WebAssembly Core Specification 2.0, 5.5.8 (memory section, 5) and 5.3.7 (limits).
fn limited(module: &[u8], pages: u32) -> Vec<u8> {
    const MEMORY: u8 = 5;
    let (mut out, mut at) = (module[..8].to_vec(), 8);
    while at < module.len() {
        let (size, used) = leb(&module[at + 1..]);
        let (body, end) = (at + 1 + used, at + 1 + used + size as usize);
        if module[at] == MEMORY {
            let (first_pages, _) = leb(&module[body + 2..]);
            let section = [vec![1, 1], as_leb(first_pages), as_leb(first_pages + pages)].concat();
            out.push(MEMORY);
            out.extend(as_leb(u32::try_from(section.len()).unwrap()));
            out.extend(section);
        } else {
            out.extend(&module[at..end]);
        }
        at = end;
    }
    out
}

/// Copies the site, with little memory for its worker.
fn copied(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let (path, name) = (entry.as_ref().unwrap().path(), entry.unwrap().file_name());
        let named = name.to_string_lossy().into_owned();
        if path.is_dir() {
            copied(&path, &to.join(name));
        } else if named.starts_with("worker-") && named.ends_with(".wasm") {
            std::fs::write(to.join(name), limited(&std::fs::read(path).unwrap(), PAGES)).unwrap();
        } else {
            std::fs::copy(path, to.join(name)).unwrap();
        }
    }
}

fn a_worker_out_of_memory_restarts_by_itself_and_the_session_is_unchanged() {
    let Some(site) = site_folder() else { return };
    let scratch = ClipFolder::new().unwrap();
    let folder = scratch.path().join("site");
    copied(&site, &folder);
    journey_on(&folder, Setup::BREAKING, async |browser, server| {
        browser.open(&server.url()).await?;
        browser.press("Try the example").await?;
        browser.until(super::common::SAVED, 20).await?;
        let before = only_stored(browser).await?;
        browser.press("Follow the markers in both clips").await?;
        let began = Instant::now();
        browser.until("document.body.innerText.includes('it was started again')", 30).await?;
        println!(
            "{}",
            browser.script("return document.querySelector('.notice').innerText;").await?
        );
        browser.until("document.querySelector('[data-testid=stage]')?.dataset.frame", 20).await?;
        let back_s = began.elapsed().as_secs_f64();
        println!("from the start of its work to a frame again: {back_s:.2} s");
        assert_eq!(only_stored(browser).await?, before);
        browser.step("Clip").await?;
        browser.press("Save session file").await?;
        document::session::file::read("saved", &browser.download(".stride.json").await?)?;
        Ok(())
    });
}

/// Steps forward by a number of frames, each after the one before is shown.
const STEP_ON: &str = "
    const [steps, done] = arguments, stage = () => document.querySelector('[data-testid=stage]');
    (async () => {
        for (let at = 0; at < steps; at++) {
            const wanted = String(Number(stage().dataset.frame) + 1);
            document.querySelector('button[aria-label=\"Next frame\"]').click();
            while (stage().dataset.frame !== wanted) await new Promise((next) => requestAnimationFrame(next));
        }
    })().then(() => done(null), (error) => done(String(error)));";

fn the_browser_releases_frames_that_were_drawn() {
    if options().engine != Engine::Chromium {
        println!("not run: {}", OnlyChromium("its memory"));
        return;
    }
    journey(async |browser, server| {
        at_work(browser, server).await?;
        let stepped = browser.client.execute_async(STEP_ON, vec![json!(120)]).await?;
        assert_eq!(stepped, Value::Null);
        let PageMemory { private_mb, shared_mb } = page_memory(browser)?;
        println!("after 120 frames of 720p: {private_mb:.0} MB private, {shared_mb:.0} MB shared");
        // 120 frames of 1280 by 720 by 4 bytes are 442 MB.
        assert!(shared_mb < 100.0, "{shared_mb} MB");
        Ok(())
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["saving::memory": a_worker_out_of_memory_restarts_by_itself_and_the_session_is_unchanged, the_browser_releases_frames_that_were_drawn]
}
