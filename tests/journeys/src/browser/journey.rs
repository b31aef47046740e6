//! Runs a journey: a server of its own, a browser, and what must be true at the end of every journey.

use super::pool::{Lease, alone, beside_others};
use super::{Browser, OnlyChromium, site_folder};
use crate::error::Result;
use crate::harness;
use site::serve::Server;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::Path;

/// What a journey asks of its browser.
#[derive(Clone, Copy, Debug)]
pub struct Setup {
    /// Width and height of the window.
    pub size_px: (u32, u32),
    /// Whether the developer tools are connected, which log every request.
    pub listened: bool,
    /// Whether the browser is started for this journey alone.
    pub fresh: bool,
    /// Whether the page may show a problem from the beginning, since the journey breaks things.
    pub may_complain: bool,
}

impl Setup {
    /// A listened-to browser of the pool, with the window of a laptop.
    pub const USUAL: Self =
        Self { size_px: (1440, 900), listened: true, fresh: false, may_complain: false };
    /// For a journey that breaks things on purpose.
    pub const BREAKING: Self =
        Self { size_px: (1280, 800), listened: false, fresh: false, may_complain: true };
}

/// Runs a journey. At its end the page shows no fault, and no part of it sent anything but GETs to its own
/// address.
///
/// # Panics
/// When the journey fails.
pub fn journey(go: impl AsyncFnOnce(&Browser, &Server) -> Result<()>) {
    unchecked_journey(async |browser, server| checked(go, browser, &server).await);
}

/// Runs a journey that prints how long something took: alone and in a browser of its own.
///
/// # Panics
/// When the journey fails.
pub fn timed_journey(go: impl AsyncFnOnce(&Browser, &Server) -> Result<()>) {
    let Some(folder) = site_folder() else { return };
    let _room = alone();
    let setup = Setup { fresh: true, ..Setup::USUAL };
    run_journey(&folder, setup, async |browser, server| checked(go, browser, &server).await);
}

/// What must be true at the end of a journey.
async fn checked(
    go: impl AsyncFnOnce(&Browser, &Server) -> Result<()>,
    browser: &Browser,
    server: &Server,
) -> Result<()> {
    go(browser, server).await?;
    browser.has_no_errors().await?;
    browser.check_only_gets_to(&server.url())?;
    let sends = |r: &site::serve::Request| r.method != "GET" && r.method != "HEAD";
    match server.requests().into_iter().find(sends) {
        Some(request) => Err(format!("the server received {request:?}").into()),
        None => Ok(()),
    }
}

/// Runs a journey that may stop its server, or do on purpose what no page may do.
///
/// # Panics
/// When the journey fails.
pub fn unchecked_journey(go: impl AsyncFnOnce(&Browser, Server) -> Result<()>) {
    let Some(folder) = site_folder() else { return };
    let _room = beside_others();
    run_journey(&folder, Setup::USUAL, go);
}

/// Runs a journey on the site in this folder.
///
/// # Panics
/// When the journey fails.
#[allow(clippy::panic, reason = "a test ends by it")]
pub fn run_journey(
    folder: &Path,
    setup: Setup,
    go: impl AsyncFnOnce(&Browser, Server) -> Result<()>,
) {
    match start_and_run(folder, setup, go) {
        Err(reason) if reason.is::<OnlyChromium>() => println!("not run to its end: {reason}"),
        Err(reason) => panic!("{reason}"),
        Ok(()) => {}
    }
}

fn start_and_run(
    folder: &Path,
    setup: Setup,
    go: impl AsyncFnOnce(&Browser, Server) -> Result<()>,
) -> Result<()> {
    let start = if setup.fresh { Lease::start } else { Lease::take };
    let lease = start(setup.listened, setup.size_px)?;
    lease.browser.may_complain(setup.may_complain);
    let server = Server::start(folder, 0)?;
    let origin = server.url();
    let run = || lease.runtime.block_on(go(&lease.browser, server));
    let outcome = catch_unwind(AssertUnwindSafe(run));
    if !matches!(outcome, Ok(Ok(()))) {
        // A screenshot of where it went wrong; without one the message must do.
        let name = format!("failed-{}", harness::current().replace("::", "-"));
        let _ = lease.runtime.block_on(lease.browser.screenshot(&name));
        let _ = lease.end();
        return outcome.unwrap_or_else(|panic| resume_unwind(panic));
    }
    if setup.fresh { lease.end() } else { lease.give_back(&origin) }
}
