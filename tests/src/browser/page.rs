//! What a person does on the page: presses named buttons, fills named fields, touches places in the picture.

use super::{Browser, Engine, Result};
use fantoccini::Locator;
use fantoccini::elements::Element;
use fantoccini::wait::Wait;
use serde_json::Value;
use std::path::Path;
use std::time::{Duration, Instant};

/// Quotes words for an XPath.
fn quoted(words: &str) -> String {
    format!("\"{}\"", words.replace('"', "'"))
}

/// Chosen: how long to wait until the page is looked at again.
const LOOK_AGAIN: Duration = Duration::from_millis(50);

impl Browser {
    /// Looks for an element again and again.
    fn looking(&self) -> Wait<'_> {
        self.client.wait().every(LOOK_AGAIN)
    }

    /// Waits until something is there.
    ///
    /// # Errors
    /// When it is not there in time.
    pub async fn wait(&self, css: &str, seconds: u64) -> Result<Element> {
        Ok(self
            .looking()
            .at_most(self.engine.patience(seconds))
            .for_element(Locator::Css(css))
            .await?)
    }

    /// Waits until the page shows these words.
    ///
    /// # Errors
    /// When it does not in time; says what it shows then.
    pub async fn says(&self, words: &str, seconds: u64) -> Result<()> {
        self.until(&format!("document.body.innerText.includes({})", quoted(words)), seconds).await
    }

    /// Waits until a script gives true.
    ///
    /// # Errors
    /// When it does not in time; says what the page shows then.
    pub async fn until(&self, condition: &str, seconds: u64) -> Result<()> {
        let began = Instant::now();
        while began.elapsed() < self.engine.patience(seconds) {
            if self.script(&format!("return Boolean({condition});")).await? == Value::Bool(true) {
                return Ok(());
            }
            tokio::time::sleep(LOOK_AGAIN).await;
        }
        Err(format!("never: {condition}\nthe page says: {}", self.words().await?).into())
    }

    /// Runs a script in the page.
    ///
    /// # Errors
    /// When it throws.
    pub async fn script(&self, script: &str) -> Result<Value> {
        Ok(self.client.execute(script, Vec::new()).await?)
    }

    /// All words on the page.
    ///
    /// # Errors
    /// When the page is gone.
    pub async fn words(&self) -> Result<String> {
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
        let wait = self.looking().at_most(Duration::from_secs(20));
        let button = wait
            .for_element(Locator::XPath(&path))
            .await
            .map_err(|e| format!("no button {name}: {e}"))?;
        // Its driver scrolls no further than to the edge, where the bar at the foot may cover it; a person scrolls on.
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
        let wait = self.looking().at_most(Duration::from_secs(20));
        wait.for_element(Locator::XPath(&path)).await?.click().await?;
        self.shows_no_fault().await
    }

    /// Fills a field by its label, as one does who then goes to the next field.
    ///
    /// # Errors
    /// When there is no such field.
    pub async fn fill(&self, label: &str, value: &str) -> Result<()> {
        let path = format!("//input[@id=//label[normalize-space(.)={}]/@for]", quoted(label));
        let field = self
            .looking()
            .for_element(Locator::XPath(&path))
            .await
            .map_err(|e| format!("no field {label}: {e}"))?;
        field.clear().await?;
        field.send_keys(value).await?;
        field.send_keys("\u{e004}").await?;
        self.shows_no_fault().await
    }

    /// Chooses one answer of a question.
    ///
    /// # Errors
    /// When there is no such answer.
    pub async fn choose(&self, answer: &str) -> Result<()> {
        let path = format!("//input[@type='radio' and @aria-label={}]", quoted(answer));
        self.looking().for_element(Locator::XPath(&path)).await?.click().await?;
        self.shows_no_fault().await
    }

    /// Chooses an entry of a list by the list's name and its own.
    ///
    /// # Errors
    /// When there is no such list or entry.
    pub async fn pick(&self, list: &str, entry: &str) -> Result<()> {
        let name = quoted(list);
        let path = format!(
            "//label[span[normalize-space(.)={name}]]//select | //select[@id=//label[normalize-space(.)={name}]/@for]"
        );
        let list = self.looking().for_element(Locator::XPath(&path)).await?;
        list.select_by_label(entry).await?;
        self.shows_no_fault().await
    }

    /// Gives a file to the button that asks for one.
    ///
    /// # Errors
    /// When there is no such button.
    pub async fn give(&self, button: &str, file: &Path) -> Result<()> {
        let css = format!("input[type=file][aria-label=\"{button}\"]");
        let input = self.wait(&css, 20).await?;
        Ok(input.send_keys(&std::fs::canonicalize(file)?.to_string_lossy()).await?)
    }
}
