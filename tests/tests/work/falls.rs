//! A program that falls leaves the session intact: the worker is back at once, the page offers to save and to report.

use super::common::{SHOWN, at_work, change, journey, open_recent, saved_as};
use checks::browser::{Browser, Result};
use document::session::file;
use serde_json::json;
use std::time::Instant;

/// Keeps hold of each worker that the page starts.
const WATCH: &str = "
    window.workers = [];
    const Real = Worker;
    window.Worker = class extends Real { constructor(...all) { super(...all); window.workers.push(this); } };
";

async fn watched(browser: &Browser) -> Result<()> {
    browser.tell("Page.addScriptToEvaluateOnNewDocument", json!({ "source": WATCH })).await?;
    Ok(())
}

#[test]
fn a_worker_that_dies_is_back_by_itself_and_the_session_is_as_it_was() {
    journey("worker", async |browser, server, _| {
        watched(browser).await?;
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
        println!("the worker is back after {back_s:.2} s, of 1 s");
        change(browser, "after").await?;
        saved_as(browser, "after").await
    });
}

/// A real fall: the drawing of the page is refused by the browser, which it does not expect.
const BREAK: &str = "
    for (const name of ['insertBefore', 'appendChild', 'removeChild']) Node.prototype[name] = () => { throw new Error('broken'); };
    document.querySelector('.guide-link').click();
";

#[test]
fn a_page_that_falls_offers_to_save_and_shows_a_report_without_what_was_entered() {
    journey("page", async |browser, server, _| {
        at_work(browser, server).await?;
        change(browser, "Secret shoes").await?;
        browser.script(BREAK).await?;
        browser.wait("main.panicked", 5).await?;
        let report = browser.script("return document.querySelector('#panic-report').value;").await?;
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
        let session = file::read("saved", &browser.saved(".stride.json").await?)?.session;
        let shoes = session.trials.first().map(|t| t.conditions.shoes.clone());
        assert_eq!(shoes.as_deref(), Some("Secret shoes"));
        browser.press("Load the page again").await?;
        browser.wait(".home", 20).await?;
        open_recent(browser).await?;
        browser.give("Open heels_low.mp4 again", &super::common::clip()).await?;
        browser.until(SHOWN, 20).await
    });
}
