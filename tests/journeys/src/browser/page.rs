//! What a person does on the page: presses named buttons, fills named fields, opens files.

use super::{Browser, Engine};
use crate::error::Result;
use fantoccini::Locator;
use fantoccini::elements::Element;
use fantoccini::wait::Wait;
use serde_json::Value;
use std::path::Path;
use std::time::{Duration, Instant};

/// Quotes text for an XPath.
fn quoted(words: &str) -> String {
    format!("\"{}\"", words.replace('"', "'"))
}

/// Chosen: soon enough to cost nothing, seldom enough to leave the processor to the page.
const POLL_EVERY: Duration = Duration::from_millis(50);

impl Browser {
    /// Polls for an element.
    fn polling(&self) -> Wait<'_> {
        self.client.wait().every(POLL_EVERY)
    }

    /// Waits until an element of this selector is there.
    ///
    /// # Errors
    /// When it is not there in time.
    pub async fn wait(&self, css: &str, seconds: u64) -> Result<Element> {
        Ok(self
            .polling()
            .at_most(self.engine.timeout(seconds))
            .for_element(Locator::Css(css))
            .await?)
    }

    /// Waits until the page shows this text.
    ///
    /// # Errors
    /// When it does not in time; with the text that it shows then.
    pub async fn shows_text(&self, words: &str, seconds: u64) -> Result<()> {
        self.until(&format!("document.body.innerText.includes({})", quoted(words)), seconds).await
    }

    /// Waits until a condition is true in the page.
    ///
    /// # Errors
    /// When it does not in time; with the text that the page shows then.
    pub async fn until(&self, condition: &str, seconds: u64) -> Result<()> {
        let began = Instant::now();
        while began.elapsed() < self.engine.timeout(seconds) {
            if self.script(&format!("return Boolean({condition});")).await? == Value::Bool(true) {
                return Ok(());
            }
            tokio::time::sleep(POLL_EVERY).await;
        }
        Err(format!("never true: {condition}\nthe page shows: {}", self.text().await?).into())
    }

    /// Runs a script in the page.
    ///
    /// # Errors
    /// When it throws.
    pub async fn script(&self, script: &str) -> Result<Value> {
        Ok(self.client.execute(script, Vec::new()).await?)
    }

    /// All text of the page.
    ///
    /// # Errors
    /// When the page is gone.
    pub async fn text(&self) -> Result<String> {
        Ok(self
            .script("return document.body.innerText;")
            .await?
            .as_str()
            .unwrap_or_default()
            .to_owned())
    }

    /// Opens the page and waits for its first screen.
    ///
    /// # Errors
    /// When it does not come.
    pub async fn open(&self, url: &str) -> Result<()> {
        self.client.goto(url).await?;
        self.wait(".home", 30).await?;
        Ok(())
    }

    /// Presses a button by its name.
    ///
    /// # Errors
    /// When there is none that can be pressed within twenty seconds.
    pub async fn press(&self, name: &str) -> Result<()> {
        let name = quoted(name);
        let path = format!(
            "//button[not(@disabled) and (@aria-label={name} or (not(@aria-label) and normalize-space(.)={name}))]"
        );
        let wait = self.polling().at_most(Duration::from_secs(20));
        let button = wait
            .for_element(Locator::XPath(&path))
            .await
            .map_err(|e| format!("no button {name}: {e}"))?;
        // Its driver scrolls only to the edge, where the bar at the bottom may cover the button; a person scrolls on.
        if self.engine == Engine::WebKit {
            let scroll = "arguments[0].scrollIntoView({ block: 'center' });";
            self.client.execute(scroll, vec![serde_json::to_value(&button)?]).await?;
        }
        button.click().await?;
        self.shows_no_fault().await
    }

    /// Goes to a step.
    ///
    /// # Errors
    /// When there is no such step.
    pub async fn step(&self, name: &str) -> Result<()> {
        let path =
            format!("//nav[@aria-label='Steps']//button[normalize-space(.)={}]", quoted(name));
        let wait = self.polling().at_most(Duration::from_secs(20));
        wait.for_element(Locator::XPath(&path)).await?.click().await?;
        self.shows_no_fault().await
    }

    /// Fills a field by its label, then leaves it.
    ///
    /// # Errors
    /// When there is no such field.
    pub async fn fill(&self, label: &str, value: &str) -> Result<()> {
        let path = format!("//input[@id=//label[normalize-space(.)={}]/@for]", quoted(label));
        let field = self
            .polling()
            .for_element(Locator::XPath(&path))
            .await
            .map_err(|e| format!("no field {label}: {e}"))?;
        field.clear().await?;
        field.send_keys(value).await?;
        field.send_keys("\u{e004}").await?;
        self.shows_no_fault().await
    }

    /// Chooses a radio button by its name.
    ///
    /// # Errors
    /// When there is no such answer.
    pub async fn choose(&self, answer: &str) -> Result<()> {
        let path = format!("//input[@type='radio' and @aria-label={}]", quoted(answer));
        self.polling().for_element(Locator::XPath(&path)).await?.click().await?;
        self.shows_no_fault().await
    }

    /// Selects an entry of a list by the names of both.
    ///
    /// # Errors
    /// When there is no such list or entry.
    pub async fn select(&self, list: &str, entry: &str) -> Result<()> {
        let name = quoted(list);
        let path = format!(
            "//label[span[normalize-space(.)={name}]]//select | //select[@id=//label[normalize-space(.)={name}]/@for]"
        );
        let list = self.polling().for_element(Locator::XPath(&path)).await?;
        list.select_by_label(entry).await?;
        self.shows_no_fault().await
    }

    /// Chooses a file at the button that opens one.
    ///
    /// # Errors
    /// When there is no such button.
    pub async fn choose_file(&self, button: &str, file: &Path) -> Result<()> {
        let css = format!("input[type=file][aria-label=\"{button}\"]");
        let input = self.wait(&css, 20).await?;
        Ok(input.send_keys(&std::fs::canonicalize(file)?.to_string_lossy()).await?)
    }
}
