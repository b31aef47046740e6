//! A panic leaves the session intact: the worker restarts at once, the page offers to save and to report.

use super::common::{SHOWN, at_work, change, journey, open_recent, saved_as};
use document::session::file;
use journeys::browser::{Browser, Result};
use serde_json::json;
use std::time::Instant;

/// Notes each worker that the page starts.
const NOTE_WORKERS: &str = "
    window.workers = [];
    const Real = Worker;
    window.Worker = class extends Real { constructor(...all) { super(...all); window.workers.push(this); } };
";

async fn note_workers(browser: &Browser) -> Result<()> {
    browser
        .command("Page.addScriptToEvaluateOnNewDocument", json!({ "source": NOTE_WORKERS }))
        .await?;
    Ok(())
}

fn a_worker_that_dies_restarts_by_itself_and_the_session_is_unchanged() {
    journey(async |browser, server| {
        note_workers(browser).await?;
        at_work(browser, server).await?;
        browser.press("Next frame").await?;
        browser
            .until("document.querySelector('[data-testid=stage]').dataset.frame === '1'", 20)
            .await?;
        let began = Instant::now();
        browser
            .script(
                "const dying = window.workers.at(-1);
                 dying.terminate();
                 dying.dispatchEvent(new ErrorEvent('error', { message: 'unreachable', cancelable: true }));",
            )
            .await?;
        browser.until("document.body.innerText.includes('it was started again')", 20).await?;
        browser.press("Next frame").await?;
        browser
            .until("document.querySelector('[data-testid=stage]').dataset.frame === '2'", 20)
            .await?;
        let back_s = began.elapsed().as_secs_f64();
        println!("the worker is back after {back_s:.2} s (wanted 1 s)");
        change(browser, "after").await?;
        saved_as(browser, "after").await
    });
}

fn a_message_that_cannot_be_read_is_shown_and_the_page_can_be_loaded_again() {
    journey(async |browser, server| {
        note_workers(browser).await?;
        at_work(browser, server).await?;
        let unread = [
            (
                "window.workers.at(-1).dispatchEvent(new MessageEvent('message', { data: { text: '{}' } }));",
                "The worker's answer could not be read (missing field",
            ),
            (
                "window.workers.at(-1).postMessage({ text: 'no message' });",
                "The worker could not read what the page asked (expected",
            ),
            (
                "window.workers.at(-1).postMessage(7);",
                "The worker could not read what the page asked (it holds no text)",
            ),
        ];
        for (script, words) in unread {
            browser.script(script).await?;
            browser.until(&format!("document.body.innerText.includes(\"{words}\")"), 5).await?;
        }
        // What comes after is read and answered as before.
        browser.press("Next frame").await?;
        browser
            .until("document.querySelector('[data-testid=stage]').dataset.frame === '1'", 20)
            .await?;
        browser.press("Load the page again").await?;
        browser.wait(".home", 20).await?;
        open_recent(browser).await
    });
}

/// Causes a real panic: the browser refuses to change the document, which the page does not expect.
const BREAK: &str = "
    for (const name of ['insertBefore', 'appendChild', 'removeChild']) Node.prototype[name] = () => { throw new Error('broken'); };
    document.querySelector('.guide-link').click();
";

fn a_page_that_panics_offers_to_save_and_shows_a_report_without_what_was_entered() {
    journey(async |browser, server| {
        at_work(browser, server).await?;
        change(browser, "Secret shoes").await?;
        browser.script(BREAK).await?;
        browser.wait("main.panicked", 5).await?;
        let report =
            browser.script("return document.querySelector('#panic-report').value;").await?;
        let report = report.as_str().unwrap_or_default().to_owned();
        println!("{report}");
        assert!(report.contains("page-") && report.contains(".rs:"), "{report}");
        for entered in ["Secret", "heels_low", "first"] {
            assert!(!report.contains(entered), "{report}");
        }
        browser.press("Copy the report").await?;
        browser
            .until("document.querySelector('main.panicked').innerText.includes('Copied')", 5)
            .await?;
        browser.press("Save the session to a file").await?;
        let session = file::read("saved", &browser.download(".stride.json").await?)?.session;
        let shoes = session.trials.first().map(|t| t.conditions.shoes.clone());
        assert_eq!(shoes.as_deref(), Some("Secret shoes"));
        browser.press("Load the page again").await?;
        browser.wait(".home", 20).await?;
        open_recent(browser).await?;
        browser.choose_file("Open heels_low.mp4 again", &super::common::clip()).await?;
        browser.until(SHOWN, 20).await
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["saving::panics": a_worker_that_dies_restarts_by_itself_and_the_session_is_unchanged, a_message_that_cannot_be_read_is_shown_and_the_page_can_be_loaded_again, a_page_that_panics_offers_to_save_and_shows_a_report_without_what_was_entered]
}
