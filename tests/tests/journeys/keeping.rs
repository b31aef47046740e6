//! What is entered is kept: over a reload, over another clip given by mistake, in a file, in a copy, and with the server stopped.

use crate::by_hand::mark;
use crate::common::{FOLLOWED, demo, saved_session, under_service_worker, walk_the_example};
use checks::browser::{Browser, Deaf, Result, free_journey, journey};
use checks::truth::Truth;
use document::session::Session;
use std::path::Path;

/// Opens the work that was last at hand, after a reload.
async fn open_recent(browser: &Browser, url: &str) -> Result<()> {
    browser.open(url).await?;
    browser.wait(".recent li button.line", 10).await?.click().await?;
    browser.wait(".facts", 10).await?;
    browser.shows_no_fault().await
}

/// Opens a clip, enters a name, scale, upright, direction, speed, runner and marks, and has them followed; answers the session.
///
/// The clip shows what the first one of the example shows.
pub async fn enter_everything(browser: &Browser, clip: &Path) -> Result<Session> {
    browser.give("Open a clip", clip).await?;
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
    browser.until(FOLLOWED, 60).await?;
    browser.step("Clip").await?;
    let session = saved_session(browser).await?;
    browser.says("Saved on this device", 5).await?;
    Ok(session)
}

#[test]
fn a_reload_brings_back_marks_strides_and_scale_and_asks_for_the_clip_by_name() {
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        let before = enter_everything(browser, &demo("heels_low.mp4")).await?;
        browser.step("Strides").await?;
        browser.says("strides are used", 10).await?;
        let strides = browser
            .script("return document.querySelector('.panel [role=status]').innerText;")
            .await?;
        open_recent(browser, &server.url()).await?;
        browser.says("“heels_low.mp4” is not open", 10).await?;
        let after = saved_session(browser).await?;
        assert_eq!(after, before);
        assert!(after.trials.iter().all(|t| t.calibration.scale.is_some() && t.tracks.len() == 9));
        browser.step("Strides").await?;
        browser.says(strides.as_str().ok_or("no strides")?, 10).await?;
        browser.step("Clip").await?;
        browser.may_complain(true);
        browser.give("Open heels_low.mp4 again", &demo("leg_folding.mp4")).await?;
        browser.says("“leg_folding.mp4” is another clip than the one that was marked", 20).await?;
        browser.press("Close this notice").await?;
        browser.may_complain(false);
        browser.give("Open heels_low.mp4 again", &demo("heels_low.mp4")).await?;
        browser.shows_frame(0, 30).await
    });
}

#[test]
fn a_clip_that_is_dropped_on_the_page_and_kept_as_a_copy_is_there_after_a_reload() {
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        browser.drop_file(&demo("heels_low.mp4"), (700.0, 600.0)).await?;
        browser.shows_frame(0, 30).await?;
        let copy = "[...document.querySelectorAll('label.answer')].find(l => l.innerText.includes('Keep a copy on this device'))?.querySelector('input')";
        browser.until(&format!("{copy} && !{copy}.disabled"), 10).await?;
        browser.script(&format!("{copy}.click();")).await?;
        browser.until(&format!("{copy}.checked"), 20).await?;
        // The tick shows the wish; that the copy is written is known by the page at rest.
        tokio::time::sleep(std::time::Duration::from_millis(500)).await;
        browser.says("Saved on this device", 5).await?;
        open_recent(browser, &server.url()).await?;
        browser.shows_frame(0, 30).await?;
        browser.until(&format!("{copy}?.checked"), 10).await
    });
}

#[test]
fn a_session_file_brings_everything_to_another_browser() {
    let mut kept = None;
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        kept = Some(enter_everything(browser, &demo("heels_low.mp4")).await?);
        Ok(())
    });
    let Some(before) = kept else { return };
    journey(async |browser, server| {
        let text = document::session::file::write(&before);
        let path = browser.downloads.join("brought.stride.json");
        std::fs::write(&path, text)?;
        browser.open(&server.url()).await?;
        browser.give("Open a session file", &path).await?;
        browser.says("“heels_low.mp4” is not open", 10).await?;
        std::fs::remove_file(&path)?;
        let after = saved_session(browser).await?;
        assert_eq!(
            (&after.trials, &after.runner, &after.name),
            (&before.trials, &before.runner, &before.name)
        );
        browser.give("Open heels_low.mp4 again", &demo("heels_low.mp4")).await?;
        browser.shows_frame(0, 30).await?;
        browser.step("Ledger").await?;
        browser.wait("table.ledger", 10).await?;
        browser.shows_no_fault().await
    });
}

#[test]
fn with_the_server_stopped_the_page_loads_again_and_does_the_example() {
    free_journey(async |browser, server| {
        let url = server.url();
        let port = server.port();
        browser.open(&url).await?;
        under_service_worker(browser).await?;
        // The first visit is over: its worker may still fetch, as it began before all was kept (seen in WebKitGTK).
        browser.client.goto("about:blank").await?;
        server.stop();
        let deaf = Deaf::at(port)?;
        browser.open(&url).await?;
        walk_the_example(browser).await?;
        browser.says("500 repeats", 20).await?;
        assert_eq!(deaf.heard(), Vec::<String>::new());
        browser.is_calm().await
    });
}
