//! Faults that a person would notice at once: problem notices, `NaN` in place of numbers, errors in the console.

use super::{Browser, Engine};
use crate::error::Result;
use crate::options::project_root;
use serde_json::{Value, json};

/// A size of screen that everything must be usable on.
#[derive(Clone, Copy, Debug)]
pub struct Screen {
    /// Its name in the names of screenshots.
    pub name: &'static str,
    /// Width of the page.
    pub width_px: u32,
    /// Height of the page.
    pub height_px: u32,
    /// Whether it is a phone's, with touch and without scroll bars.
    pub is_mobile: bool,
}

/// The screens that the page is made for.
pub const SCREENS: [Screen; 3] = [
    Screen { name: "laptop", width_px: 1440, height_px: 900, is_mobile: false },
    Screen { name: "tablet", width_px: 1024, height_px: 768, is_mobile: false },
    Screen { name: "phone", width_px: 390, height_px: 844, is_mobile: true },
];

/// Answers what is wrong on the screen: alerts, and text or drawings with something else in place of a number.
const FAULTS: &str = "
    const found = [...document.querySelectorAll('.notice.problem, [role=alert]')].map(n => 'alert: ' + n.innerText);
    const words = document.body.innerText, html = document.body.outerHTML;
    for (const bad of [/\\bNaN\\b/, /\\bundefined\\b/, /\\bInfinity\\b/, /\\binf\\b/]) {
        if (bad.test(words)) found.push('the page shows ' + bad + ': ' + words);
    }
    for (const bad of [/NaN/, /=\"[^\"]*\\binf\\b/, /undefined/]) {
        const at = html.search(bad);
        if (at >= 0) found.push('in the page stands ' + html.slice(Math.max(0, at - 200), at + 40));
    }
    return found;";

impl Browser {
    /// Fails when the screen shows a problem, or something else in place of a number.
    ///
    /// # Errors
    /// What is wrong.
    pub async fn shows_no_fault(&self) -> Result<()> {
        if self.may_complain.get() {
            return Ok(());
        }
        let found = self.script(FAULTS).await?;
        let found: Vec<&str> =
            found.as_array().into_iter().flatten().filter_map(Value::as_str).collect();
        if found.is_empty() { Ok(()) } else { Err(found.join("\n").into()) }
    }

    /// Sets whether the page may show a problem from now on, since the journey does something wrong on purpose.
    pub fn may_complain(&self, may: bool) {
        self.may_complain.set(may);
    }

    /// Fails when the page wrote an error to the console, or the screen shows a fault.
    ///
    /// # Errors
    /// What is wrong.
    pub async fn has_no_errors(&self) -> Result<()> {
        if self.engine != Engine::Chromium {
            return self.shows_no_fault().await;
        }
        let errors: Vec<Value> = (self.log("browser").await?.into_iter())
            .filter(|e| e.get("level").and_then(Value::as_str) == Some("SEVERE"))
            // The browser's own message about an address that is gone: journeys stop the server.
            .filter(|e| {
                !["ERR_CONNECTION_REFUSED", "ERR_EMPTY_RESPONSE", "ERR_CONNECTION_RESET", "favicon"]
                    .iter()
                    .any(|known| e.to_string().contains(known))
            })
            .collect();
        if !errors.is_empty() {
            return Err(format!("the console says: {errors:?}").into());
        }
        self.shows_no_fault().await
    }

    /// Makes the screen exactly this large.
    ///
    /// # Errors
    /// When the browser refuses.
    pub async fn set_screen(&self, screen: Screen) -> Result<()> {
        let Screen { width_px: width, height_px: height, is_mobile, .. } = screen;
        let size = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": is_mobile });
        self.command("Emulation.setDeviceMetricsOverride", size).await?;
        let is = format!("innerWidth === {width} && innerHeight === {height}");
        self.until(&is, 5).await
    }

    /// A screenshot for people, under `target/shots`.
    ///
    /// # Errors
    /// When it cannot be taken.
    pub async fn screenshot(&self, name: &str) -> Result<()> {
        let folder = project_root().join("target/shots");
        std::fs::create_dir_all(&folder)?;
        std::fs::write(folder.join(format!("{name}.png")), self.client.screenshot().await?)?;
        Ok(())
    }
}
