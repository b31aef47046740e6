//! What is entered is saved: after a reload, after a wrong clip, in a file, in a copy, and with the server stopped.

use super::by_hand::mark;
use super::common::{TRACKED, controlled_by_service_worker, demo, saved_session, walk_the_example};
use document::session::{Session, file};
use journeys::browser::{
    Browser, Result, Setup, SilentListener, beside_others, journey, run_journey, site_folder,
    unchecked_journey,
};
use journeys::truth::Truth;
use std::path::Path;
use std::sync::{Mutex, PoisonError};

/// The session file that a journey here entered, for the next one.
static ENTERED: Mutex<Option<String>> = Mutex::new(None);

/// Reloads the page and opens the most recent session.
async fn open_recent(browser: &Browser, url: &str) -> Result<()> {
    browser.open(url).await?;
    browser.wait(".recent li button.line", 10).await?.click().await?;
    browser.wait(".facts", 10).await?;
    browser.shows_no_fault().await
}

/// Opens a clip, enters a name, scale, plumb line, direction, speed, runner and marks, and tracks them; answers the
/// session.
///
/// The clip shows the runner of the first clip of the example.
pub async fn enter_everything(browser: &Browser, clip: &Path) -> Result<Session> {
    browser.choose_file("Open a clip", clip).await?;
    browser.shows_frame(0, 30).await?;
    browser.fill("Name of this way of running", "Carried low").await?;
    browser.step("Scale").await?;
    browser.shows_frame(0, 30).await?;
    browser.drag((253.0, 246.0), (253.0, 558.0)).await?;
    browser.press("Mark a plumb line").await?;
    browser.drag((146.0, 30.0), (146.0, 460.0)).await?;
    browser.choose("To the right").await?;
    browser.fill("Speed (m/s)", "3.1").await?;
    browser.fill("Body mass (kg)", "61").await?;
    mark(browser, &Truth::of_json(&demo("heels_low.truth.json"))?).await?;
    browser.press("Follow the markers").await?;
    browser.until(TRACKED, 60).await?;
    browser.step("Clip").await?;
    let session = saved_session(browser).await?;
    browser.shows_text("Saved on this device", 5).await?;
    Ok(session)
}

fn a_reload_restores_marks_strides_and_scale_and_asks_for_the_clip_by_name() {
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        let before = enter_everything(browser, &demo("heels_low.mp4")).await?;
        *ENTERED.lock().unwrap_or_else(PoisonError::into_inner) = Some(file::write(&before));
        browser.step("Strides").await?;
        browser.shows_text("strides are used", 10).await?;
        let strides = browser
            .script("return document.querySelector('.panel [role=status]').innerText;")
            .await?;
        open_recent(browser, &server.url()).await?;
        browser.shows_text("“heels_low.mp4” is not open", 10).await?;
        let after = saved_session(browser).await?;
        assert_eq!(after, before);
        assert!(after.trials.iter().all(|t| t.calibration.scale.is_some() && t.tracks.len() == 9));
        browser.step("Strides").await?;
        browser.shows_text(strides.as_str().ok_or("no strides")?, 10).await?;
        browser.step("Clip").await?;
        browser.may_complain(true);
        browser.choose_file("Open heels_low.mp4 again", &demo("leg_folding.mp4")).await?;
        browser
            .shows_text("“leg_folding.mp4” is another clip than the one that was marked", 20)
            .await?;
        browser.press("Close this notice").await?;
        browser.may_complain(false);
        browser.choose_file("Open heels_low.mp4 again", &demo("heels_low.mp4")).await?;
        browser.shows_frame(0, 30).await
    });
}

fn a_clip_dropped_on_the_page_and_kept_as_a_copy_is_open_after_a_reload() {
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        browser.drop_file(&demo("heels_low.mp4"), (700.0, 600.0)).await?;
        browser.shows_frame(0, 30).await?;
        let copy = "[...document.querySelectorAll('label.answer')].find(l => l.innerText.includes('Keep a copy on this device'))?.querySelector('input')";
        browser.until(&format!("{copy} && !{copy}.disabled"), 10).await?;
        browser.script(&format!("{copy}.click();")).await?;
        browser.until(&format!("{copy}.checked"), 20).await?;
        // The tick shows the wish only; the copy is written once the page is at rest.
        tokio::time::sleep(std::time::Duration::from_millis(500)).await;
        browser.shows_text("Saved on this device", 5).await?;
        open_recent(browser, &server.url()).await?;
        browser.shows_frame(0, 30).await?;
        browser.until(&format!("{copy}?.checked"), 10).await
    });
}

fn a_session_file_restores_everything_in_another_browser() {
    let entered = || ENTERED.lock().unwrap_or_else(PoisonError::into_inner).clone();
    if entered().is_none() {
        journey(async |browser, server| {
            browser.open(&server.url()).await?;
            let session = enter_everything(browser, &demo("heels_low.mp4")).await?;
            *ENTERED.lock().unwrap_or_else(PoisonError::into_inner) = Some(file::write(&session));
            Ok(())
        });
    }
    let Some(text) = entered() else { return };
    // In another browser, since nothing of the first may help.
    let Some(folder) = site_folder() else { return };
    let _room = beside_others();
    let setup = Setup { fresh: true, ..Setup::USUAL };
    run_journey(&folder, setup, async |browser, server| {
        let before = file::read("entered", &text)?.session;
        let path = browser.downloads.join("brought.stride.json");
        std::fs::write(&path, text)?;
        browser.open(&server.url()).await?;
        browser.choose_file("Open a session file", &path).await?;
        browser.shows_text("“heels_low.mp4” is not open", 10).await?;
        std::fs::remove_file(&path)?;
        let after = saved_session(browser).await?;
        assert_eq!(
            (&after.trials, &after.runner, &after.name),
            (&before.trials, &before.runner, &before.name)
        );
        browser.choose_file("Open heels_low.mp4 again", &demo("heels_low.mp4")).await?;
        browser.shows_frame(0, 30).await?;
        browser.step("Ledger").await?;
        browser.wait("table.ledger", 10).await?;
        browser.has_no_errors().await?;
        browser.check_only_gets_to(&server.url())?;
        Ok(())
    });
}

fn with_the_server_stopped_the_page_loads_again_and_runs_the_example() {
    unchecked_journey(async |browser, server| {
        let url = server.url();
        let port = server.port();
        browser.open(&url).await?;
        controlled_by_service_worker(browser).await?;
        // The worker of the first visit may still fetch, since it began before everything was cached (seen in WebKitGTK).
        browser.client.goto("about:blank").await?;
        server.stop();
        let listener = SilentListener::at(port)?;
        browser.open(&url).await?;
        walk_the_example(browser).await?;
        browser.shows_text("500 repeats", 20).await?;
        assert_eq!(listener.requests(), Vec::<String>::new());
        browser.has_no_errors().await
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["workflow::autosave": a_reload_restores_marks_strides_and_scale_and_asks_for_the_clip_by_name, a_clip_dropped_on_the_page_and_kept_as_a_copy_is_open_after_a_reload, a_session_file_restores_everything_in_another_browser, with_the_server_stopped_the_page_loads_again_and_runs_the_example]
}
