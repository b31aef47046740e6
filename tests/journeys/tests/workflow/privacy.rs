//! Nothing leaves the device: every request of the page, of its worker and of the service worker, over a whole session.

use super::by_hand::mark;
use super::common::{TRACKED, controlled_by_service_worker, demo, saved_text, walk_the_example};
use journeys::browser::{
    Browser, Engine, LoggedRequest, Result, SilentListener, unchecked_journey,
};
use journeys::truth::Truth;
use serde_json::json;
use site::policy;
use std::io::{Read, Write};
use std::net::TcpStream;

/// Opens a clip, enters what the page asks for, marks, tracks, and saves every file that can be saved.
async fn work_by_hand(browser: &Browser) -> Result<()> {
    browser.choose_file("Open a clip", &demo("heels_low.mp4")).await?;
    browser.shows_frame(0, 30).await?;
    browser.step("Scale").await?;
    browser.shows_frame(0, 30).await?;
    browser.drag((400.0, 600.0), (700.0, 600.0)).await?;
    browser.choose("To the right").await?;
    browser.fill("Speed (m/s)", "3").await?;
    browser.fill("Body mass (kg)", "60").await?;
    mark(browser, &Truth::of_json(&demo("heels_low.truth.json"))?).await?;
    browser.press("Follow the markers").await?;
    browser.until(TRACKED, 60).await?;
    browser.step("Ledger").await?;
    browser.wait("table.ledger", 10).await?;
    for button in ["Save measures (CSV)", "Save positions (CSV)"] {
        browser.press(button).await?;
        browser.download(".csv").await?;
    }
    saved_text(browser).await?;
    Ok(())
}

/// Compares the example's two ways of running and saves the result.
async fn compare(browser: &Browser) -> Result<()> {
    browser.press("Stride Ledger, first page").await?;
    walk_the_example(browser).await?;
    browser.press("Save measures (CSV)").await?;
    browser.download(".csv").await?;
    Ok(())
}

fn a_whole_session_sends_only_gets_to_the_page_and_none_at_all_offline() {
    unchecked_journey(async |browser, server| {
        let (url, port) = (server.url(), server.port());
        browser.open(&url).await?;
        work_by_hand(browser).await?;
        controlled_by_service_worker(browser).await?;
        compare(browser).await?;
        browser.open(&url).await?;
        browser.wait(".recent li button.line", 10).await?.click().await?;
        browser.shows_text("is not open", 10).await?;
        let count = browser.check_only_gets_to(&url)?;
        // Of other browsers only the requests that reach the server are known, here and when it is stopped.
        let has_log = browser.engine == Engine::Chromium;
        for kind in ["page", "worker", "service_worker"].into_iter().filter(|_| has_log) {
            let of_kind = browser.requests().iter().filter(|a| a.by == kind).count();
            println!(
                "{of_kind} of {count} requests were the {kind}'s, each a GET to the page's own address"
            );
            assert!(of_kind > 0, "no request of a {kind} was logged: the log does not hear it");
        }
        assert!(server.requests().iter().all(|r| r.method == "GET"), "{:?}", server.requests());
        server.stop();
        let listener = SilentListener::at(port)?;
        let before = browser.requests().len();
        browser.open(&url).await?;
        work_by_hand(browser).await?;
        compare(browser).await?;
        let asked = browser.check_only_gets_to(&url)?;
        let past: Vec<_> = browser
            .requests()
            .into_iter()
            .skip(before)
            .filter(|a| a.by == "service_worker")
            .collect();
        println!(
            "offline: {} more requests, all answered from the cache; past it: {past:?}, {:?}; the browser checked \
             {} times for a newer version by itself",
            asked - before,
            listener.requests(),
            listener.update_checks()
        );
        assert!(past.is_empty(), "the service worker used the network: {past:?}");
        assert_eq!(listener.requests(), Vec::<String>::new(), "requests to the stopped server");
        browser.has_no_errors().await
    });
}

/// The first logged request to an address; the log may have it a little later than the page.
async fn logged(browser: &Browser, address: &str) -> Option<LoggedRequest> {
    for _ in 0..40 {
        if let Some(request) = browser.requests().into_iter().find(|a| a.url.starts_with(address)) {
            return Some(request);
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    None
}

/// A POST to the page's own address.
const POST: &str =
    "fetch('./?left', { method: 'POST', body: 'x' }).then(r => r.status, () => 'failed')";

fn requests_to_another_address_are_refused_and_logged() {
    unchecked_journey(async |browser, server| {
        let url = server.url();
        browser.open(&url).await?;
        controlled_by_service_worker(browser).await?;
        // Again, so that the service worker controls page and worker from their first request on.
        browser.open(&url).await?;
        browser.until("navigator.serviceWorker.controller !== null", 10).await?;
        browser.check_only_gets_to(&url)?;
        for kind in ["page", "worker"] {
            let stranger = SilentListener::at(0)?;
            let elsewhere = format!("http://127.0.0.1:{}/", stranger.port());
            let away =
                format!("fetch('{elsewhere}?by={kind}').then(() => 'sent', () => 'refused')");
            assert_eq!(browser.devtools.evaluate(kind, &away)?, json!("refused"), "{kind}");
            assert_eq!(stranger.requests(), Vec::<String>::new(), "{kind}");
            let request = logged(browser, &elsewhere).await;
            let request = request.ok_or_else(|| {
                format!("the log does not show requests of a {kind} to another address")
            })?;
            assert_eq!((request.by.as_str(), request.refused.as_str()), (kind, "csp"));
            assert!(
                browser.check_only_gets_to(&url).is_err(),
                "a request to another address counts as one to the page"
            );
            assert_eq!(browser.devtools.evaluate(kind, POST)?, json!(405), "{kind}");
            let posted = browser.requests().into_iter().any(|a| a.by == kind && a.method == "POST");
            assert!(posted, "the log does not show what a {kind} sends");
        }
        let sent: Vec<_> = server.requests().into_iter().filter(|r| r.method != "GET").collect();
        assert_eq!(sent, [], "the service worker let it through");
        Ok(())
    });
}

/// The response of a server, head and body.
fn response_to(port: u16, path: &str) -> Result<String> {
    let mut stream = TcpStream::connect(("127.0.0.1", port))?;
    write!(stream, "GET {path} HTTP/1.1\r\nHost: here\r\n\r\n")?;
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer)?;
    Ok(String::from_utf8_lossy(&answer).into_owned())
}

fn every_response_carries_the_policy_and_the_service_worker_adds_it_if_it_is_missing() {
    unchecked_journey(async |browser, server| {
        browser.open(&server.url()).await?;
        controlled_by_service_worker(browser).await?;
        let worker = browser.script("return new URL(strideLoader.workerUrl()).pathname;").await?;
        let worker = worker.as_str().ok_or("no worker")?;
        let wanted = policy::header_policy();
        for path in ["/", "/sw.js", worker] {
            let head = format!("\r\nContent-Security-Policy: {wanted}\r\n");
            assert!(response_to(server.port(), path)?.contains(&head), "{path}");
            let from_cache =
                format!("fetch('{path}').then(r => r.headers.get('content-security-policy'))");
            if path != "/sw.js" {
                assert_eq!(
                    browser.devtools.evaluate("page", &from_cache)?,
                    json!(wanted),
                    "{path}"
                );
            }
        }
        // A host that sends no headers: a cached response has none.
        let keep = "caches.keys().then(k => caches.open(k[0])).then(c => c.put('/bare.js', new Response('1'))).then(() => 1)";
        browser.devtools.evaluate("service_worker", keep)?;
        let bare = "fetch('/bare.js').then(r => r.headers.get('content-security-policy'))";
        assert_eq!(browser.devtools.evaluate("page", bare)?, json!(wanted));
        Ok(())
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["workflow::privacy": a_whole_session_sends_only_gets_to_the_page_and_none_at_all_offline, requests_to_another_address_are_refused_and_logged, every_response_carries_the_policy_and_the_service_worker_adds_it_if_it_is_missing]
}
