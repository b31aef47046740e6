//! No screen breaks a rule of accessibility that a program can check, in the light and the dark theme, at any size.

use journeys::browser::{Browser, Result, SCREENS, unchecked_journey};
use serde_json::Value;

const RULES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/node_modules/axe-core/axe.min.js");

/// The screens behind the steps of a session.
const STEPS: [&str; 6] = ["Side by side", "Clip", "Scale", "Markers", "Strides", "Ledger"];

/// The rules and the theme in which they are checked.
#[derive(Clone, Copy)]
struct Check<'a> {
    /// The script of the rules.
    rules: &'a str,
    /// The name of the theme on the page.
    theme: &'a str,
}

/// Checks the rules at each size of screen, with a screenshot of each.
async fn keeps_rules(browser: &Browser, check: Check<'_>, page: &str) -> Result<()> {
    browser.select("Paper", check.theme).await?;
    for screen in SCREENS {
        browser.set_screen(screen).await?;
        // Chosen: until the layout has settled.
        tokio::time::sleep(std::time::Duration::from_millis(150)).await;
        browser.shows_no_fault().await?;
        browser.script("scrollTo(0, 0);").await?;
        let name =
            format!("{page}-{}-{}", screen.name, check.theme).to_lowercase().replace(' ', "-");
        browser.screenshot(&name).await?;
        fits(browser, &name).await?;
        if screen.name != "tablet" {
            violations(browser, check.rules).await.map_err(|e| format!("{name}: {e}"))?;
        }
    }
    browser.set_screen(SCREENS[0]).await
}

/// Tracks the example on a phone, where the button is far down: the next screen begins at its top.
async fn compared_on_a_phone(browser: &Browser) -> Result<()> {
    let [laptop, .., phone] = SCREENS;
    browser.set_screen(phone).await?;
    browser.script("scrollTo(0, document.body.scrollHeight);").await?;
    browser.until("scrollY > 100", 5).await?;
    browser.press("Follow the markers in both clips").await?;
    browser.wait(".side-by-side", 60).await?;
    browser.until("scrollY === 0", 5).await?;
    browser.screenshot("compared-on-a-phone").await?;
    browser.set_screen(laptop).await
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

/// Fails with every violation of the rules on the page.
async fn violations(browser: &Browser, rules: &str) -> Result<()> {
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

fn every_screen_keeps_the_rules_of_accessibility_on_light_paper() {
    every_screen_keeps_the_rules("Light");
}

fn every_screen_keeps_the_rules_of_accessibility_on_dark_paper() {
    every_screen_keeps_the_rules("Dark");
}

fn every_screen_keeps_the_rules(theme: &str) {
    if !std::path::Path::new(RULES).is_file() {
        println!("not run: {RULES} is missing; run npm ci in tests/journeys");
        assert!(
            std::env::var_os("CI").is_none(),
            "the rules of accessibility must be checked here"
        );
        return;
    }
    unchecked_journey(async |browser, server| {
        let rules = std::fs::read_to_string(RULES)?;
        let check = Check { rules: &rules, theme };
        browser.open(&server.url()).await?;
        keeps_rules(browser, check, "First page").await?;
        browser.press("How to film").await?;
        keeps_rules(browser, check, "How to film").await?;
        browser.press("Back to the first page").await?;
        browser.press("Try the example").await?;
        browser.wait(".landmarks", 30).await?;
        keeps_rules(browser, check, "Markers before").await?;
        compared_on_a_phone(browser).await?;
        for step in STEPS {
            browser.step(step).await?;
            keeps_rules(browser, check, step).await?;
        }
        browser.has_no_errors().await
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["accessibility": every_screen_keeps_the_rules_of_accessibility_on_light_paper, every_screen_keeps_the_rules_of_accessibility_on_dark_paper]
}
