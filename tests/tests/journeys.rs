//! The main job in a real browser, through the page's own controls, held against known truth.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

use app::session::{Session, Trial, file};
use checks::browser::{Browser, CLIPS, Result, one_at_a_time, site_folder};
use checks::compare::{Limits, both, hold};
use checks::truth::Truth;
use mechanics::body::MarkerSet;
use mechanics::measures::Measure;
use site::serve::Server;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Instant;

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo-clips/clips");

/// Runs a journey on a site of its own.
fn journey(go: impl AsyncFnOnce(&Browser, &Server) -> Result<()>) {
    let Some(folder) = site_folder() else { return };
    let _one = one_at_a_time();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        let server = Server::start(&folder, 0).unwrap();
        let browser = Browser::start((1440, 900)).await.unwrap();
        let outcome = go(&browser, &server).await;
        if outcome.is_err() {
            // A picture of where it went wrong; without one the words must do.
            let _ = browser.shot("failed").await;
        }
        let ended = browser.end().await;
        outcome.unwrap_or_else(|e| panic!("{e}"));
        ended.unwrap();
    });
}

/// The clips of known truth beside the project; none says that the journey is not run.
fn beside(name: &str) -> Option<PathBuf> {
    let path = Path::new(CLIPS).join(name);
    if !path.is_file() {
        println!("not run: {} is not there", path.display());
        return None;
    }
    Some(path)
}

async fn saved_session(browser: &Browser) -> Result<Session> {
    browser.press("Save session file").await?;
    let text = browser.saved(".stride.json").await?;
    Ok(file::read("saved", &text)?.session)
}

fn trial(session: &Session, index: usize) -> Result<Rc<Trial>> {
    Ok(Rc::clone(session.trials.get(index).ok_or("no such trial")?))
}

/// The example, from the first screen to the comparison; answers the taps it took.
async fn walk_the_example(browser: &Browser) -> Result<u32> {
    browser.press("Try the example").await?;
    browser.press("Follow the markers in both clips").await?;
    browser.wait(".side-by-side", 60).await?;
    Ok(2)
}

#[test]
fn the_example_is_compared_within_five_taps_and_a_minute_and_covers_its_truth() {
    journey(async |browser, server| {
        let began = Instant::now();
        browser.open(&server.url()).await?;
        println!("first screen after {:.2} s", began.elapsed().as_secs_f64());
        let taps = walk_the_example(browser).await?;
        let took_s = began.elapsed().as_secs_f64();
        println!("the example: {taps} taps, {took_s:.1} s");
        assert!(taps <= 5 && took_s < 60.0, "{taps} taps, {took_s} s");
        browser.is_calm().await?;
        browser.shot("example-side-by-side").await?;
        let session = saved_session(browser).await?;
        let limits = Limits { work_ratio: 0.05, corrections: 2 };
        let mut true_work = Vec::new();
        for (index, name) in ["heels_low", "leg_folding"].into_iter().enumerate() {
            let truth = Truth::of_json(&Path::new(DEMO).join(format!("{name}.truth.json")))?;
            let trial = trial(&session, index)?;
            hold(name, &session, &trial, &truth, limits)?;
            let (_, ideal) = both(&session, &trial, &truth)?;
            true_work.push(
                ideal.analysis.measures.get(&Measure::InternalWork).ok_or("no work")?.mean_si,
            );
        }
        browser.press("Save measures (CSV)").await?;
        let csv = browser.saved(".csv").await?;
        difference_covers(&csv, true_work[1] - true_work[0])
    });
}

/// The row of internal work shows a difference of the true sign whose interval covers the true one.
fn difference_covers(csv: &str, true_j: f64) -> Result<()> {
    let cells = |line: &str| -> Vec<String> {
        line.split(',').map(|c| c.trim_matches('"').to_owned()).collect()
    };
    let head = cells(csv.lines().next().ok_or("an empty file")?);
    let row = csv
        .lines()
        .map(cells)
        .find(|r| r.first().is_some_and(|c| c == "internal_work"))
        .ok_or("no internal work")?;
    let value = |column: &str| -> Result<f64> {
        let index = head
            .iter()
            .position(|h| h == column)
            .ok_or(format!("no column {column} in {head:?}"))?;
        Ok(row.get(index).ok_or("a short row")?.parse()?)
    };
    let (found, low, high) =
        (value("difference")?, value("difference_low95")?, value("difference_high95")?);
    println!("difference {found:.2} J, 95 % {low:.2} to {high:.2}, true {true_j:.2}");
    assert_eq!(found.signum(), true_j.signum());
    assert!(low <= true_j && true_j <= high);
    Ok(())
}

/// What is entered by hand for a clip of known truth.
struct Known {
    name: &'static str,
    mass_kg: &'static str,
    levelled: bool,
}

const FIRST_FRAME: &str = "document.querySelector('[data-testid=stage]')?.dataset.frame === '0'";
const FOLLOWED: &str = "document.querySelector('.follow')?.innerText.includes('Follow all again')";

/// The ends of the known length, in pixels.
fn scale_of(name: &str) -> Result<((f64, f64), (f64, f64))> {
    let text = std::fs::read_to_string(Path::new(CLIPS).join(format!("{name}.meta.json")))?;
    let meta: serde_json::Value = serde_json::from_str(&text)?;
    let end = |i: usize| -> Option<(f64, f64)> {
        let point = meta.get("scale_px")?.get(i)?;
        Some((point.get(0)?.as_f64()?, point.get(1)?.as_f64()?))
    };
    Ok(end(0).zip(end(1)).ok_or("no scale")?)
}

/// Scale, upright, direction, speed and mass, as a person enters them.
async fn calibrate(browser: &Browser, known: &Known) -> Result<()> {
    let (from, to) = scale_of(known.name)?;
    browser.step("Scale").await?;
    browser.until(FIRST_FRAME, 30).await?;
    browser.drag(from, to).await?;
    if known.levelled {
        browser.press("Mark the ground line").await?;
        browser.drag(from, to).await?;
    }
    browser.choose("To the right").await?;
    browser.fill("Speed (m/s)", "2.5").await?;
    browser.fill("Body mass (kg)", known.mass_kg).await
}

/// Every landmark of the near side where it truly is, to a whole pixel, in the guided order.
async fn mark(browser: &Browser, truth: &Truth) -> Result<()> {
    browser.step("Markers").await?;
    browser.until(FIRST_FRAME, 30).await?;
    for (index, landmark) in MarkerSet::NearSide.landmarks().iter().enumerate() {
        let place = truth.places.get(landmark).and_then(|p| p.first()).ok_or("no truth")?;
        let named =
            format!("document.querySelector('.now').innerText.startsWith('{} of 9')", index + 1);
        browser.until(&named, 10).await?;
        browser.touch((place.x_px.round(), place.y_px.round())).await?;
    }
    browser.until("document.querySelectorAll('.landmark.has-mark').length === 9", 10).await
}

/// The whole job by hand: open, scale, direction, speed, runner, marks, follow, ledger.
async fn by_hand(browser: &Browser, server: &Server, known: &Known, clip: &Path) -> Result<()> {
    let truth = Truth::of_csv(&Path::new(CLIPS).join(format!("{}.truth_px.csv", known.name)))?;
    browser.open(&server.url()).await?;
    browser.give("Open a clip", clip).await?;
    browser.until(FIRST_FRAME, 30).await?;
    calibrate(browser, known).await?;
    mark(browser, &truth).await?;
    let began = Instant::now();
    browser.press("Follow the markers").await?;
    browser.until(FOLLOWED, 120).await?;
    let frames = truth.places.values().next().map_or(0, Vec::len);
    let rate_hz = frames as f64 / began.elapsed().as_secs_f64();
    println!("{}: {rate_hz:.0} frames/s of decoding and following", known.name);
    browser.step("Ledger").await?;
    browser.wait("table.ledger", 10).await?;
    browser.is_calm().await?;
    browser.shot(known.name).await?;
    let session = saved_session(browser).await?;
    let limits = Limits { work_ratio: if known.levelled { 0.06 } else { 0.05 }, corrections: 2 };
    hold(known.name, &session, &trial(&session, 0)?, &truth, limits)?;
    Ok(())
}

#[test]
fn a_reload_brings_everything_back_and_asks_for_the_clip_by_name() {
    journey(async |browser, server| {
        let clip = |name: &str| Path::new(DEMO).join(name);
        browser.open(&server.url()).await?;
        browser.give("Open a clip", &clip("heels_low.mp4")).await?;
        browser.until(FIRST_FRAME, 30).await?;
        browser.fill("Name of this way of running", "Carried low").await?;
        tokio::time::sleep(std::time::Duration::from_secs(1)).await;
        browser.open(&server.url()).await?;
        browser.until("document.querySelector('.recent li button.line') !== null", 10).await?;
        browser.wait(".recent li button.line", 5).await?.click().await?;
        browser
            .until("document.body.innerText.includes('“heels_low.mp4” is not open')", 10)
            .await?;
        let name =
            browser.script("return document.querySelector('.panel .field input').value;").await?;
        assert_eq!(name.as_str(), Some("Carried low"));
        browser.give("Open heels_low.mp4 again", &clip("leg_folding.mp4")).await?;
        browser
            .until(
                "document.querySelector('.notice.problem')?.innerText.includes('leg_folding.mp4')",
                20,
            )
            .await?;
        browser.give("Open heels_low.mp4 again", &clip("heels_low.mp4")).await?;
        browser.until(FIRST_FRAME, 30).await?;
        browser.is_calm().await
    });
}

#[test]
fn runner_a_is_measured_by_hand_within_its_limits() {
    let Some(clip) = beside("runner_a.mp4") else { return };
    journey(async |browser, server| {
        by_hand(browser, server, &Known { name: "runner_a", mass_kg: "62", levelled: false }, &clip)
            .await
    });
}

#[test]
fn runner_b_filmed_aslant_is_measured_by_hand_within_its_limits() {
    let Some(clip) = beside("runner_b.mp4") else { return };
    journey(async |browser, server| {
        by_hand(browser, server, &Known { name: "runner_b", mass_kg: "70", levelled: true }, &clip)
            .await
    });
}

#[test]
fn the_walker_opens_steps_exactly_and_what_is_lost_is_said() {
    let Some(clip) = beside("walker.mp4") else { return };
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        browser.give("Open a clip", &clip).await?;
        let shows = |frame: u32| {
            format!("document.querySelector('[data-testid=stage]')?.dataset.frame === '{frame}'")
        };
        browser.until(&shows(0), 30).await?;
        assert!(browser.words().await?.contains("70 frames"));
        for frame in 1..=5 {
            browser.press("Next frame").await?;
            browser.until(&shows(frame), 10).await?;
        }
        for frame in (0..5).rev() {
            browser.press("Previous frame").await?;
            browser.until(&shows(frame), 10).await?;
        }
        browser.step("Markers").await?;
        browser.until(&shows(0), 10).await?;
        // Placed by eye on the first frame of the walker: shoulder, hip, knee, ankle of the near side.
        for (name, at) in [
            ("Near shoulder", (314.0, 160.0)),
            ("Near hip", (318.0, 262.0)),
            ("Near knee", (312.0, 350.0)),
            ("Near ankle", (304.0, 402.0)),
        ] {
            browser.press(name).await?;
            browser.touch(at).await?;
            browser.press(&format!("{name}, marked")).await?;
            browser.choose("Skin or cloth").await?;
        }
        browser.until("document.querySelectorAll('.landmark.has-mark').length === 4", 10).await?;
        browser.press("Follow the markers").await?;
        browser
            .until("document.querySelector('.follow')?.innerText.includes('Follow all again')", 60)
            .await?;
        browser.shot("walker").await?;
        let said = browser.words().await?;
        assert!(
            said.contains("in doubt"),
            "a camera that pans and legs that cross leave doubt, and it must be said: {said}"
        );
        browser.is_calm().await
    });
}

#[test]
fn every_request_of_the_example_is_a_get_to_the_page() {
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        walk_the_example(browser).await?;

        browser
            .client
            .execute_async("navigator.serviceWorker.ready.then(() => arguments[0]());", Vec::new())
            .await?;
        let origin = server.url();
        let asked = browser.requests().await?;
        assert!(!asked.is_empty());
        for (method, url) in &asked {
            assert!(
                method == "GET" && url.starts_with(origin.trim_end_matches('/')),
                "{method} {url}"
            );
        }
        let served = server.requests();
        assert!(served.iter().all(|r| r.method == "GET" || r.method == "HEAD"), "{served:?}");
        println!("{} requests, each a GET to the page's own address", asked.len());
        Ok(())
    });
}

#[test]
fn with_the_server_stopped_the_page_loads_again_and_does_the_example() {
    let Some(folder) = site_folder() else { return };
    let _one = one_at_a_time();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        let server = Server::start(&folder, 0).unwrap();
        let url = server.url();
        let browser = Browser::start((1440, 900)).await.unwrap();
        browser.open(&url).await.unwrap();
        browser
            .client
            .execute_async("navigator.serviceWorker.ready.then(() => arguments[0]());", Vec::new())
            .await
            .unwrap();
        browser.until("navigator.serviceWorker.controller !== null", 20).await.unwrap();
        server.stop();
        browser.open(&url).await.unwrap();
        walk_the_example(&browser).await.unwrap();
        browser.is_calm().await.unwrap();
        browser.end().await.unwrap();
    });
}
