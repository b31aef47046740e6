//! Nothing leaves the device: every request of the page, of its worker and of the service worker, over a whole session.

use crate::by_hand::mark;
use crate::common::{FOLLOWED, demo, saved_text, under_service_worker, walk_the_example};
use checks::browser::{Asked, Browser, Deaf, Engine, Result, free_journey};
use checks::truth::Truth;
use serde_json::json;
use site::policy;
use std::io::{Read, Write};
use std::net::TcpStream;

/// Opens a clip by hand, enters what is asked, marks, follows, and saves every file that can be saved.
async fn work_by_hand(browser: &Browser) -> Result<()> {
    browser.give("Open a clip", &demo("heels_low.mp4")).await?;
    browser.shows_frame(0, 30).await?;
    browser.step("Scale").await?;
    browser.shows_frame(0, 30).await?;
    browser.drag((400.0, 600.0), (700.0, 600.0)).await?;
    browser.choose("To the right").await?;
    browser.fill("Speed (m/s)", "3").await?;
    browser.fill("Body mass (kg)", "60").await?;
    mark(browser, &Truth::of_json(&demo("heels_low.truth.json"))?).await?;
    browser.press("Follow the markers").await?;
    browser.until(FOLLOWED, 60).await?;
    browser.step("Ledger").await?;
    browser.wait("table.ledger", 10).await?;
    for button in ["Save measures (CSV)", "Save positions (CSV)"] {
        browser.press(button).await?;
        browser.saved(".csv").await?;
    }
    saved_text(browser).await?;
    Ok(())
}

/// Compares the example's two ways and saves what that gives.
async fn compare(browser: &Browser) -> Result<()> {
    browser.press("Stride Ledger, first page").await?;
    walk_the_example(browser).await?;
    browser.press("Save measures (CSV)").await?;
    browser.saved(".csv").await?;
    Ok(())
}

#[test]
fn over_a_whole_session_there_are_only_gets_to_the_page_and_offline_none_at_all() {
    free_journey(async |browser, server| {
        let (url, port) = (server.url(), server.port());
        browser.open(&url).await?;
        work_by_hand(browser).await?;
        under_service_worker(browser).await?;
        compare(browser).await?;
        browser.open(&url).await?;
        browser.wait(".recent li button.line", 10).await?.click().await?;
        browser.says("is not open", 10).await?;
        let count = browser.only_gets_to(&url)?;
        // Of the others only what reaches the server is heard, here and when it is stopped.
        let heard = browser.engine == Engine::Chromium;
        for kind in ["page", "worker", "service_worker"].into_iter().filter(|_| heard) {
            let of_kind = browser.asked().iter().filter(|a| a.by == kind).count();
            println!(
                "{of_kind} of {count} requests were the {kind}'s, each a GET to the page's own address"
            );
            assert!(of_kind > 0, "no request of a {kind} was seen: the log is not listening to it");
        }
        assert!(server.requests().iter().all(|r| r.method == "GET"), "{:?}", server.requests());
        server.stop();
        let deaf = Deaf::at(port)?;
        let before = browser.asked().len();
        browser.open(&url).await?;
        work_by_hand(browser).await?;
        compare(browser).await?;
        let asked = browser.only_gets_to(&url)?;
        let past: Vec<_> =
            browser.asked().into_iter().skip(before).filter(|a| a.by == "service_worker").collect();
        println!(
            "offline: {} requests more, all answered from what is kept; past that: {past:?}, {:?}; the browser looked \
             {} times for a newer version by itself",
            asked - before,
            deaf.heard(),
            deaf.own_looks()
        );
        assert!(past.is_empty(), "the service worker asked a network: {past:?}");
        assert_eq!(deaf.heard(), Vec::<String>::new(), "asked of the server that is gone");
        browser.is_calm().await
    });
}

/// The first request to an address that the log shows; it may hear of it a little later than the page.
async fn seen_of(browser: &Browser, address: &str) -> Option<Asked> {
    for _ in 0..40 {
        if let Some(seen) = browser.asked().into_iter().find(|a| a.url.starts_with(address)) {
            return Some(seen);
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    None
}

/// A POST to the page's own address.
const POST: &str =
    "fetch('./?left', { method: 'POST', body: 'x' }).then(r => r.status, () => 'failed')";

#[test]
fn what_would_leave_is_refused_and_the_log_would_show_it() {
    free_journey(async |browser, server| {
        let url = server.url();
        browser.open(&url).await?;
        under_service_worker(browser).await?;
        // Again, so that page and worker are the service worker's from their first request on.
        browser.open(&url).await?;
        browser.until("navigator.serviceWorker.controller !== null", 10).await?;
        browser.only_gets_to(&url)?;
        for kind in ["page", "worker"] {
            let stranger = Deaf::at(0)?;
            let elsewhere = format!("http://127.0.0.1:{}/", stranger.port());
            let away =
                format!("fetch('{elsewhere}?by={kind}').then(() => 'went out', () => 'refused')");
            assert_eq!(browser.devtools.evaluate(kind, &away)?, json!("refused"), "{kind}");
            assert_eq!(stranger.heard(), Vec::<String>::new(), "{kind}");
            let seen = seen_of(browser, &elsewhere).await;
            let seen = seen.ok_or_else(|| {
                format!("the log does not show what a {kind} asks of another address")
            })?;
            assert_eq!((seen.by.as_str(), seen.refused.as_str()), (kind, "csp"));
            assert!(
                browser.only_gets_to(&url).is_err(),
                "a request to another address passes for one to the page"
            );
            assert_eq!(browser.devtools.evaluate(kind, POST)?, json!(405), "{kind}");
            let posted = browser.asked().into_iter().any(|a| a.by == kind && a.method == "POST");
            assert!(posted, "the log does not show what a {kind} sends");
        }
        let sent: Vec<_> = server.requests().into_iter().filter(|r| r.method != "GET").collect();
        assert_eq!(sent, [], "the service worker let it out");
        Ok(())
    });
}

/// What a server answers, head and body.
fn answer_to(port: u16, path: &str) -> Result<String> {
    let mut stream = TcpStream::connect(("127.0.0.1", port))?;
    write!(stream, "GET {path} HTTP/1.1\r\nHost: here\r\n\r\n")?;
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer)?;
    Ok(String::from_utf8_lossy(&answer).into_owned())
}

#[test]
fn the_policy_comes_with_every_answer_and_the_service_worker_adds_it_where_it_is_missing() {
    free_journey(async |browser, server| {
        browser.open(&server.url()).await?;
        under_service_worker(browser).await?;
        let worker = browser.script("return new URL(strideLoader.workerUrl()).pathname;").await?;
        let worker = worker.as_str().ok_or("no worker")?;
        let wanted = policy::header_policy();
        for path in ["/", "/sw.js", worker] {
            let head = format!("\r\nContent-Security-Policy: {wanted}\r\n");
            assert!(answer_to(server.port(), path)?.contains(&head), "{path}");
            let of_kept =
                format!("fetch('{path}').then(r => r.headers.get('content-security-policy'))");
            if path != "/sw.js" {
                assert_eq!(browser.devtools.evaluate("page", &of_kept)?, json!(wanted), "{path}");
            }
        }
        // A host that sends no headers: something is kept without any.
        let keep = "caches.keys().then(k => caches.open(k[0])).then(c => c.put('/bare.js', new Response('1'))).then(() => 1)";
        browser.devtools.evaluate("service_worker", keep)?;
        let bare = "fetch('/bare.js').then(r => r.headers.get('content-security-policy'))";
        assert_eq!(browser.devtools.evaluate("page", bare)?, json!(wanted));
        Ok(())
    });
}
