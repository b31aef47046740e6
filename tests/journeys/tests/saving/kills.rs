//! A tab that is killed while it saves leaves the old or the new session, whole, and never a mixture.

use super::common::{
    at_work, change, journey_on, only_copy, open_recent, saved_as, shows_shoes, stored,
};
use fantoccini::wd::WindowHandle;
use journeys::browser::{Browser, Result};
use journeys::browser::{Setup, site_folder};
use journeys::options::options;
use journeys::random::seeded;
use rand::RngExt;
use serde_json::json;
use std::time::Duration;

/// Kills the working tab and goes on in a new one; `idle` is a tab that does nothing.
async fn kill(browser: &Browser, idle: &WindowHandle) -> Result<()> {
    // A killed tab cannot answer.
    let crash = browser.command("Page.crash", json!({}));
    let _ = tokio::time::timeout(Duration::from_millis(1500), crash).await;
    for window in browser.client.windows().await? {
        if window != *idle {
            browser.client.switch_to_window(window).await?;
            // It is gone either way.
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

fn a_tab_killed_at_any_moment_leaves_the_old_or_the_new_session_and_never_a_mixture() {
    let Some(folder) = site_folder() else { return };
    let kills = options().kills;
    // A browser of its own, since tabs crash in it.
    let setup = Setup { fresh: true, ..Setup::BREAKING };
    journey_on(&folder, setup, async |browser, server| {
        let idle = browser.client.window().await?;
        new_tab(browser).await?;
        at_work(browser, server).await?;
        let (mut old, mut new, mut ahead) = (0, 0, 0);
        let mut random = seeded(0x1234_5678);
        for round in 0..kills {
            change(browser, &format!("{round}a")).await?;
            saved_as(browser, &format!("{round}a")).await?;
            change(browser, &format!("{round}b")).await?;
            // A save begins 0.3 s after a change.
            tokio::time::sleep(Duration::from_millis(random.random_range(0..400))).await;
            kill(browser, &idle).await?;
            browser.open(&server.url()).await?;
            let all = stored(browser).await?;
            let one = all.first().filter(|k| all.len() == 1 && k.whole && k.listed);
            // The copy is written before the database, so it is never the older of the two.
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
            "{kills} kills: {old} left the old session, {new} the new, {ahead} the new in the copy alone, none a mixture"
        );
        Ok(())
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["saving::kills": a_tab_killed_at_any_moment_leaves_the_old_or_the_new_session_and_never_a_mixture]
}
