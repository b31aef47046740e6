//! No screen breaks a rule of accessibility that a program can check, on light and on dark paper.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

use checks::browser::{Browser, Result, one_at_a_time, site_folder};
use serde_json::Value;
use site::serve::Server;

const RULES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/node_modules/axe-core/axe.min.js");

async fn holds(browser: &Browser, rules: &str, screen: &str) -> Result<()> {
    for paper in ["light", "dark"] {
        browser
            .script(&format!("document.documentElement.setAttribute('data-paper', '{paper}');"))
            .await?;
        browser
            .client
            .execute(
                &format!("if (!globalThis.axe) {{ {rules} ; globalThis.axe = axe; }}"),
                Vec::new(),
            )
            .await?;
        let run = "const done = arguments[0];
            axe.run(document, { resultTypes: ['violations'] }).then(
                r => done(r.violations.map(v => v.id + ': ' + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160) + ' ' + n.failureSummary).join(' | '))),
                e => done(['axe failed: ' + e]));";
        let found = browser.client.execute_async(run, Vec::new()).await?;
        let found: Vec<String> = found
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(Value::as_str)
            .map(str::to_owned)
            .collect();
        if !found.is_empty() {
            return Err(format!("{screen}, {paper} paper: {}", found.join("\n")).into());
        }
        browser.shot(&format!("{}-{paper}", screen.to_lowercase().replace(' ', "-"))).await?;
    }
    Ok(())
}

async fn walk(browser: &Browser, url: &str) -> Result<()> {
    let rules = std::fs::read_to_string(RULES)?;
    browser.open(url).await?;
    holds(browser, &rules, "First page").await?;
    browser.press("How to film").await?;
    holds(browser, &rules, "How to film").await?;
    browser.press("Back to the first page").await?;
    browser.press("Try the example").await?;
    browser.wait(".landmarks", 30).await?;
    holds(browser, &rules, "Markers before").await?;
    browser.press("Follow the markers in both clips").await?;
    browser.wait(".side-by-side", 60).await?;
    for step in ["Side by side", "Clip", "Scale", "Markers", "Strides", "Ledger"] {
        browser.step(step).await?;
        tokio::time::sleep(std::time::Duration::from_millis(600)).await;
        holds(browser, &rules, step).await?;
    }
    for (name, width, height) in [("tablet", 1024, 768), ("phone", 390, 844)] {
        browser.client.set_window_size(width, height).await?;
        for step in ["Side by side", "Clip", "Scale", "Markers", "Strides", "Ledger"] {
            browser.step(step).await?;
            tokio::time::sleep(std::time::Duration::from_millis(400)).await;
            browser.shot(&format!("{name}-{}", step.to_lowercase().replace(' ', "-"))).await?;
        }
    }
    browser.is_calm().await
}

#[test]
fn every_screen_keeps_the_rules_of_accessibility_on_light_and_dark_paper() {
    let Some(site) = site_folder() else { return };
    if !std::path::Path::new(RULES).is_file() {
        println!("not run: {RULES} is not there; run npm ci in tests/");
        assert!(
            std::env::var_os("CI").is_none(),
            "the rules of accessibility must be checked here"
        );
        return;
    }
    let _one = one_at_a_time();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    let outcome = runtime.block_on(async {
        let server = Server::start(&site, 0).unwrap();
        let browser = Browser::start((1440, 900)).await.unwrap();
        let outcome = walk(&browser, &server.url()).await;
        browser.end().await.unwrap();
        outcome.map_err(|e| e.to_string())
    });
    outcome.unwrap();
}
