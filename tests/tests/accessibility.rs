//! No screen breaks a rule of accessibility that a program can check, on light and on dark paper, at any size of screen.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

use checks::browser::{Browser, Result, SCREENS, free_journey};
use serde_json::Value;

const RULES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/node_modules/axe-core/axe.min.js");

/// The screens that are reached by the steps once there is work.
const STEPS: [&str; 6] = ["Side by side", "Clip", "Scale", "Markers", "Strides", "Ledger"];

/// Holds the rules on one paper, and leaves a picture of each size of screen.
async fn holds(browser: &Browser, (rules, paper): (&str, &str), screen: &str) -> Result<()> {
    browser.pick("Paper", paper).await?;
    for (size, width, height, in_the_hand) in SCREENS {
        browser.screen(width, height, in_the_hand).await?;
        // A person would wait as long for the picture to settle.
        tokio::time::sleep(std::time::Duration::from_millis(150)).await;
        browser.shows_no_fault().await?;
        browser.script("scrollTo(0, 0);").await?;
        let name = format!("{screen}-{size}-{paper}").to_lowercase().replace(' ', "-");
        browser.shot(&name).await?;
        fits(browser, &name).await?;
        if size != "tablet" {
            keeps_the_rules(browser, rules).await.map_err(|e| format!("{name}: {e}"))?;
        }
    }
    let (_, width, height, in_the_hand) = SCREENS[0];
    browser.screen(width, height, in_the_hand).await
}

/// Follows the example on a phone, where the button is far down: what opens then begins at its top.
async fn compared_on_a_phone(browser: &Browser) -> Result<()> {
    let [(_, width, height, in_the_hand), .., (_, wide, high, held)] = SCREENS;
    browser.screen(wide, high, held).await?;
    browser.script("scrollTo(0, document.body.scrollHeight);").await?;
    browser.until("scrollY > 100", 5).await?;
    browser.press("Follow the markers in both clips").await?;
    browser.wait(".side-by-side", 60).await?;
    browser.until("scrollY === 0", 5).await?;
    browser.shot("compared-on-a-phone").await?;
    browser.screen(width, height, in_the_hand).await
}

/// Nothing makes the page wider than the screen.
async fn fits(browser: &Browser, name: &str) -> Result<()> {
    let over = "const wide = document.documentElement.scrollWidth - innerWidth;
        return wide <= 0 ? '' : wide + ' px: ' + [...document.querySelectorAll('body *')].filter(e =>
            e.getBoundingClientRect().right > innerWidth + 1 && !e.closest('.stage-window, .table-window'))
            .slice(0, 4).map(e => e.outerHTML.slice(0, 120)).join(' | ');";
    match browser.script(over).await?.as_str() {
        Some("") => Ok(()),
        over => Err(format!("{name} is wider than its screen: {over:?}").into()),
    }
}

async fn keeps_the_rules(browser: &Browser, rules: &str) -> Result<()> {
    let load = format!("if (!globalThis.axe) {{ {rules} ; globalThis.axe = axe; }}");
    browser.client.execute(&load, Vec::new()).await?;
    let run = "const done = arguments[0];
        axe.run(document, { resultTypes: ['violations'] }).then(
            r => done(r.violations.map(v => v.id + ': ' + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160) + ' ' + n.failureSummary).join(' | '))),
            e => done(['axe failed: ' + e]));";
    let found = browser.client.execute_async(run, Vec::new()).await?;
    let found: Vec<&str> =
        found.as_array().into_iter().flatten().filter_map(Value::as_str).collect();
    if found.is_empty() { Ok(()) } else { Err(found.join("\n").into()) }
}

#[test]
fn every_screen_keeps_the_rules_of_accessibility_on_light_paper() {
    every_screen_keeps_the_rules("Light");
}

#[test]
fn every_screen_keeps_the_rules_of_accessibility_on_dark_paper() {
    every_screen_keeps_the_rules("Dark");
}

fn every_screen_keeps_the_rules(paper: &str) {
    if !std::path::Path::new(RULES).is_file() {
        println!("not run: {RULES} is not there; run npm ci in tests/");
        assert!(
            std::env::var_os("CI").is_none(),
            "the rules of accessibility must be checked here"
        );
        return;
    }
    free_journey(async |browser, server| {
        let rules = std::fs::read_to_string(RULES)?;
        let rules = (rules.as_str(), paper);
        browser.open(&server.url()).await?;
        holds(browser, rules, "First page").await?;
        browser.press("How to film").await?;
        holds(browser, rules, "How to film").await?;
        browser.press("Back to the first page").await?;
        browser.press("Try the example").await?;
        browser.wait(".landmarks", 30).await?;
        holds(browser, rules, "Markers before").await?;
        compared_on_a_phone(browser).await?;
        for step in STEPS {
            browser.step(step).await?;
            holds(browser, rules, step).await?;
        }
        browser.is_calm().await
    });
}
