//! A tab that is killed in the midst of saving leaves the old or the new, whole, and never a mixture.

use super::common::{
    at_work, change, journey, kept, only_copy, open_recent, saved_as, shows_shoes,
};
use checks::browser::{Browser, Result};
use fantoccini::wd::WindowHandle;
use serde_json::json;
use std::time::Duration;

/// How many kills: `STRIDE_KILLS`, else 20.
fn kills() -> u32 {
    std::env::var("STRIDE_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(20)
}

/// Kills the tab that works and goes on in a new one; `idle` is a tab that does nothing.
async fn kill(browser: &Browser, idle: &WindowHandle) -> Result<()> {
    // The tab that is killed cannot answer any more.
    let crash = browser.tell("Page.crash", json!({}));
    let _ = tokio::time::timeout(Duration::from_millis(1500), crash).await;
    for window in browser.client.windows().await? {
        if window != *idle {
            browser.client.switch_to_window(window).await?;
            // It is gone in either case.
            let _ = browser.client.close_window().await;
        }
    }
    browser.client.switch_to_window(idle.clone()).await?;
    new_tab(browser).await
}

async fn new_tab(browser: &Browser) -> Result<()> {
    let fresh = browser.client.new_window(true).await?.handle;
    Ok(browser.client.switch_to_window(fresh).await?)
}

#[test]
fn a_tab_killed_at_any_moment_leaves_the_old_or_the_new_and_never_a_mixture() {
    journey("kills", async |browser, server, _| {
        let idle = browser.client.window().await?;
        new_tab(browser).await?;
        at_work(browser, server).await?;
        let (mut old, mut new, mut ahead, mut state) = (0, 0, 0, 0x1234_5678_u64);
        for round in 0..kills() {
            change(browser, &format!("{round}a")).await?;
            saved_as(browser, &format!("{round}a")).await?;
            change(browser, &format!("{round}b")).await?;
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            // A save begins 0.3 s after a change.
            tokio::time::sleep(Duration::from_millis((state >> 33) % 400)).await;
            kill(browser, &idle).await?;
            browser.open(&server.url()).await?;
            let all = kept(browser).await?;
            let one = all.first().filter(|k| all.len() == 1 && k.whole && k.listed);
            // The copy beside the database is written first, so it is never the older of the two.
            let copy = only_copy(browser, "files").await?;
            let (a, b) = (format!("{round}a"), format!("{round}b"));
            match one.map(|k| &k.shoes) {
                Some(shoes) if *shoes == a && copy == a => old += 1,
                Some(shoes) if *shoes == a && copy == b => ahead += 1,
                Some(shoes) if *shoes == b && copy == b => new += 1,
                _ => return Err(format!("after kill {round} there is {all:?}, copy {copy}").into()),
            }
            open_recent(browser).await?;
            shows_shoes(browser, &copy).await?;
        }
        println!(
            "{} kills: {old} left the old, {new} the new, {ahead} the new in the copy alone, none a mixture",
            kills()
        );
        Ok(())
    });
}
