//! Runs a journey: a server and a browser of its own, and what holds of every journey at its end.

use super::{Browser, OnlyChromium, Result, alone, beside_others, site_folder};
use site::serve::Server;
use std::path::Path;

/// Runs a journey. At its end the page is calm, and nothing was asked for but by GET of its own address, by
/// whichever worker.
///
/// # Panics
/// When the journey fails.
pub fn journey(go: impl AsyncFnOnce(&Browser, &Server) -> Result<()>) {
    free_journey(async |browser, server| held(go, browser, &server).await);
}

/// Runs a journey that prints how long something took: no other goes beside it.
///
/// # Panics
/// When the journey fails.
pub fn journey_alone(go: impl AsyncFnOnce(&Browser, &Server) -> Result<()>) {
    let Some(folder) = site_folder() else { return };
    let _room = alone();
    walk(&folder, async |browser, server| held(go, browser, &server).await);
}

/// What holds of every journey but the free ones.
async fn held(
    go: impl AsyncFnOnce(&Browser, &Server) -> Result<()>,
    browser: &Browser,
    server: &Server,
) -> Result<()> {
    go(browser, server).await?;
    browser.is_calm().await?;
    browser.only_gets_to(&server.url())?;
    let sent = |r: &site::serve::Request| r.method != "GET" && r.method != "HEAD";
    match server.requests().into_iter().find(sent) {
        Some(request) => Err(format!("the server was sent {request:?}").into()),
        None => Ok(()),
    }
}

/// Runs a journey that may stop its server, or do on purpose what no page may do.
///
/// # Panics
/// When the journey fails.
pub fn free_journey(go: impl AsyncFnOnce(&Browser, Server) -> Result<()>) {
    let Some(folder) = site_folder() else { return };
    let _room = beside_others();
    walk(&folder, go);
}

#[allow(clippy::panic, reason = "a test ends by it")]
fn walk(folder: &Path, go: impl AsyncFnOnce(&Browser, Server) -> Result<()>) {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    let outcome = runtime.map_err(Into::into).and_then(|runtime| {
        runtime.block_on(async {
            let server = Server::start(folder, 0)?;
            let browser = Browser::start((1440, 900)).await?;
            let outcome = go(&browser, server).await;
            if outcome.is_err() {
                // A picture of where it went wrong; without one the words must do.
                let name = std::thread::current().name().unwrap_or_default().replace("::", "-");
                let _ = browser.shot(&format!("failed-{name}")).await;
            }
            browser.end().await?;
            outcome
        })
    });
    match outcome {
        Err(reason) if reason.is::<OnlyChromium>() => println!("not run to its end: {reason}"),
        Err(reason) => panic!("{reason}"),
        Ok(()) => {}
    }
}
