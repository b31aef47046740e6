//! A clip of more than 2 GB at 1080p and 240 frames/s: times, bytes read, memory. Asserts that every frame is the named
//! one; run only with `--large` and a folder with 5 GB of room.

mod hooked;
mod long_clip;

use hooked::{Usage, hooked_site, usage};
use journeys::browser::{
    Browser, Engine, OnlyChromium, Result, Setup, alone, run_journey, site_folder,
};
use journeys::clips::{Kind, ShownFrame, decoder_rate_hz, scrub, visit};
use journeys::measurements::{Row, record};
use journeys::options::options;
use journeys::random::seeded;
use long_clip::{NUMBERS, group, kind, make};
use rand::RngExt;
use serde_json::Value;
use std::path::Path;
use std::time::{Duration, Instant};

/// Notes when a file was chosen and when its first frame was shown.
const FIRST: &str = "
    window.first = {};
    document.addEventListener('change', () => { window.first.began = performance.now(); }, { capture: true, once: true });
    const poll = () => {
        if (document.querySelector('[data-testid=stage]')?.dataset.frame === '0') window.first.shown = performance.now();
        else setTimeout(poll, 2);
    };
    poll();
    window.longest = 0;
    new PerformanceObserver((list) => {
        for (const task of list.getEntries()) window.longest = Math.max(window.longest, task.duration);
    }).observe({ type: 'longtask' });";

fn all_right(seen: &[ShownFrame]) -> Result<()> {
    for one in seen {
        if one.number != Ok(one.frame % NUMBERS) {
            return Err(format!("frame {} shows {:?}", one.frame, one.number).into());
        }
    }
    Ok(())
}

/// The 95 % quantile of the times.
fn p95_ms(seen: &[ShownFrame]) -> f64 {
    let mut all: Vec<f64> = seen.iter().map(|s| s.took_ms).collect();
    all.sort_by(f64::total_cmp);
    all.get(all.len() * 95 / 100).or(all.last()).copied().unwrap_or(f64::NAN)
}

async fn number(browser: &Browser, script: &str) -> Result<f64> {
    browser.script(script).await?.as_f64().ok_or_else(|| format!("no number: {script}").into())
}

/// Frames at random, from a seed.
fn random_frames(kind: &Kind, count: usize, seed: u64) -> Vec<usize> {
    let mut random = seeded(seed);
    std::iter::repeat_with(|| random.random_range(0..kind.frames)).take(count).collect()
}

async fn times(browser: &Browser, kind: &Kind, clip: &Path) -> Result<Vec<Row>> {
    browser.script(FIRST).await?;
    browser.choose_file("Open a clip", clip).await?;
    browser.until("window.first.shown || document.querySelector('.notice.problem')", 60).await?;
    let first_ms = number(browser, "return window.first.shown - window.first.began;").await?;
    let read_mb = usage(browser).await?.read_mb;
    let result = format!("{:.1} s; {read_mb:.1} MB", first_ms / 1e3);
    let mut rows = vec![Row::new("first frame; read for it", result, "1 s; 50 MB")];
    let on: Vec<usize> = (1..=180).collect();
    let stepped = visit(&browser.client, kind, &on).await?;
    all_right(&stepped)?;
    let forward_ms = p95_ms(&stepped);
    let back: Vec<usize> = (120..180).rev().collect();
    let stepped = visit(&browser.client, kind, &back).await?;
    all_right(&stepped)?;
    let result = format!("{forward_ms:.0} ms; {:.0} ms", p95_ms(&stepped));
    rows.push(Row::new("95 of 100 steps forward; back", result, "100 ms; –"));
    let sought = visit(&browser.client, kind, &random_frames(kind, 200, 7)).await?;
    all_right(&sought)?;
    let (group, ffmpeg_ms) = group(clip)?;
    let decoder_ms = 60e3 / decoder_rate_hz(browser, &group).await?;
    let what = "95 of 100 seeks to random frames; decoder alone for a group of 60; ffmpeg";
    let result = format!("{:.0} ms; {decoder_ms:.0} ms; {ffmpeg_ms:.0} ms", p95_ms(&sought));
    rows.push(Row::new(what, result, "350 ms; –; –"));
    browser.script("window.longest = 0;").await?;
    let dragged = scrub(&browser.client, kind, &random_frames(kind, 80, 11)).await?;
    all_right(&dragged)?;
    // The browser reports tasks of 50 ms or more; reading back the frame by this test is part of them.
    let longest = number(browser, "return window.longest;").await?;
    let what = "longest task while dragging the slider (0: none of 50 ms)";
    rows.push(Row::new(what, format!("{longest:.0} ms"), "50 ms"));
    println!("dragged through 80 frames, {} read back, none wrong", dragged.len());
    Ok(rows)
}

/// Plays and seeks for some minutes; every frame must be right.
async fn soak(browser: &Browser, kind: &Kind, minutes: f64) -> Result<Row> {
    let (began, mut round) = (Instant::now(), 0_u64);
    let before = usage(browser).await?;
    while began.elapsed().as_secs_f64() < minutes * 60.0 {
        round += 1;
        // Far enough from the end that playing does not reach it.
        let from = random_frames(kind, 1, round).first().map_or(0, |f| f * 9 / 10);
        all_right(&visit(&browser.client, kind, &[from]).await?)?;
        browser.press("Play").await?;
        tokio::time::sleep(Duration::from_secs(15)).await;
        browser.press("Pause").await?;
        let sought = visit(&browser.client, kind, &random_frames(kind, 8, round)).await?;
        all_right(&sought)?;
    }
    let minutes = began.elapsed().as_secs_f64() / 60.0;
    println!("{minutes:.1} minutes of playing and seeking, {round} rounds, no wrong frame");
    let after = usage(browser).await?;
    let all_mb = after.process.private_mb + after.process.shared_mb;
    let wasm_mb = after.page_wasm_mb.max(after.worker_wasm_mb);
    if all_mb > 300.0 || wasm_mb > 128.0 {
        return Err(format!("the page uses {all_mb:.0} MB, WASM {wasm_mb:.0} MB").into());
    }
    let what = "the same after playing and seeking: counted by the browser; process with shared memory, before and after; WASM";
    let total_mb = |u: &Usage| u.process.private_mb + u.process.shared_mb;
    let result = format!(
        "{:.0} MB; {:.0}, {:.0} MB; {wasm_mb:.0} MB",
        after.counted_mb,
        total_mb(&before),
        total_mb(&after)
    );
    Ok(Row::new(what, result, "300 MB; 300 MB; 128 MB"))
}

fn a_clip_of_two_gigabytes_shows_the_named_frame_everywhere_in_measured_times() {
    let Some(folder) = &options().large else {
        println!("not run: --large names no folder with 5 GB of room");
        return;
    };
    let Some(site) = site_folder() else { return };
    if options().engine != Engine::Chromium {
        println!("not run: {}", OnlyChromium("its memory"));
        return;
    }
    let (kind, clip) = (kind(), make(folder).unwrap());
    let gigabytes = std::fs::metadata(&clip).unwrap().len() as f64 / 1e9;
    println!("{} frames of 1080p at 240 frames/s, {gigabytes:.2} GB", kind.frames);
    let site = hooked_site(&site, folder).unwrap();
    let _room = alone();
    let setup = Setup { fresh: true, ..Setup::USUAL };
    run_journey(&site, setup, async |browser, server| {
        browser.open(&server.url()).await?;
        let mut rows = times(browser, &kind, &clip).await?;
        rows.push(soak(browser, &kind, options().soak_minutes).await?);
        record("large clip", &rows)?;
        let problem =
            browser.script("return document.querySelector('.notice.problem')?.innerText;");
        assert_eq!(problem.await?, Value::Null);
        Ok(())
    });
    std::fs::remove_file(&clip).unwrap();
    std::fs::remove_dir_all(&site).unwrap();
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::timed_trials!["large": a_clip_of_two_gigabytes_shows_the_named_frame_everywhere_in_measured_times]
}
