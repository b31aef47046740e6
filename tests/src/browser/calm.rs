//! What a person would notice at a glance: complaints, numbers that are none, and how the page looks at a size.

use super::{Browser, Engine, Result};
use serde_json::{Value, json};
use std::path::PathBuf;

/// The sizes of screen that everything must be usable on: name, width, height, whether it is held in the hand.
pub const SCREENS: [(&str, u32, u32, bool); 3] =
    [("desk", 1440, 900, false), ("tablet", 1024, 768, false), ("phone", 390, 844, true)];

/// Answers what is wrong on the screen: alerts, and what stands in the place of a number, in words or in drawings.
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
    /// Fails when the screen shows a complaint, or something that is not a number where one should be.
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

    /// Whether the page may complain from now on: where something wrong is done on purpose.
    pub fn may_complain(&self, may: bool) {
        self.may_complain.set(may);
    }

    /// Fails when the page wrote an error to the console, or the screen shows a fault.
    ///
    /// # Errors
    /// What is wrong.
    pub async fn is_calm(&self) -> Result<()> {
        if self.engine != Engine::Chromium {
            return self.shows_no_fault().await;
        }
        let errors: Vec<Value> = (self.log("browser").await?.into_iter())
            .filter(|e| e.get("level").and_then(Value::as_str) == Some("SEVERE"))
            // The browser's own word on an address that is not there any more: the journeys stop the server.
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
    pub async fn screen(&self, width: u32, height: u32, in_the_hand: bool) -> Result<()> {
        let size = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": in_the_hand });
        self.tell("Emulation.setDeviceMetricsOverride", size).await?;
        let is = format!("innerWidth === {width} && innerHeight === {height}");
        self.until(&is, 5).await
    }

    /// A picture of the page for people to look at, under `target/shots`.
    ///
    /// # Errors
    /// When it cannot be taken.
    pub async fn shot(&self, name: &str) -> Result<()> {
        let folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../target/shots"));
        std::fs::create_dir_all(&folder)?;
        std::fs::write(folder.join(format!("{name}.png")), self.client.screenshot().await?)?;
        Ok(())
    }
}
