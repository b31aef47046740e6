//! What a person does on the page: presses named buttons, fills named fields, touches places in the picture.

use super::Browser;
use fantoccini::Locator;
use fantoccini::actions::{InputSource, MOUSE_BUTTON_LEFT, MouseActions, PointerAction};
use fantoccini::elements::Element;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// What a journey comes to.
pub type Result<T> = std::result::Result<T, Box<dyn std::error::Error>>;

/// Clips of known truth beside the project.
pub const CLIPS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../shared/clips");

/// Quotes words for an XPath.
fn quoted(words: &str) -> String {
    format!("\"{}\"", words.replace('"', "'"))
}

impl Browser {
    /// Waits until something is there.
    ///
    /// # Errors
    /// When it is not there in time.
    pub async fn wait(&self, css: &str, seconds: u64) -> Result<Element> {
        Ok(self
            .client
            .wait()
            .at_most(Duration::from_secs(seconds))
            .for_element(Locator::Css(css))
            .await?)
    }

    /// Waits until a script gives true.
    ///
    /// # Errors
    /// When it does not in time; says what the page shows then.
    pub async fn until(&self, condition: &str, seconds: u64) -> Result<()> {
        let began = Instant::now();
        while began.elapsed() < Duration::from_secs(seconds) {
            if self.script(&format!("return Boolean({condition});")).await? == Value::Bool(true) {
                return Ok(());
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
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
        let wait = self.client.wait().at_most(Duration::from_secs(20));
        let button = wait
            .for_element(Locator::XPath(&path))
            .await
            .map_err(|e| format!("no button {name}: {e}"))?;
        Ok(button.click().await?)
    }

    /// Goes to a step.
    ///
    /// # Errors
    /// When there is no such step.
    pub async fn step(&self, name: &str) -> Result<()> {
        let path =
            format!("//nav[@aria-label='Steps']//button[normalize-space(.)={}]", quoted(name));
        let wait = self.client.wait().at_most(Duration::from_secs(20));
        Ok(wait.for_element(Locator::XPath(&path)).await?.click().await?)
    }

    /// Fills a field by its label, as one does who then goes to the next field.
    ///
    /// # Errors
    /// When there is no such field.
    pub async fn fill(&self, label: &str, value: &str) -> Result<()> {
        let path = format!("//input[@id=//label[normalize-space(.)={}]/@for]", quoted(label));
        let field = self
            .client
            .wait()
            .for_element(Locator::XPath(&path))
            .await
            .map_err(|e| format!("no field {label}: {e}"))?;
        field.clear().await?;
        field.send_keys(value).await?;
        field.send_keys("\u{e004}").await?;
        Ok(())
    }

    /// Chooses one answer of a question.
    ///
    /// # Errors
    /// When there is no such answer.
    pub async fn choose(&self, answer: &str) -> Result<()> {
        let path = format!("//input[@type='radio' and @aria-label={}]", quoted(answer));
        Ok(self.client.wait().for_element(Locator::XPath(&path)).await?.click().await?)
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

    /// Presses in the picture at one place and lets go at another, in clip pixels.
    ///
    /// # Errors
    /// When there is no picture.
    pub async fn drag(&self, from: (f64, f64), to: (f64, f64)) -> Result<()> {
        self.script(
            "document.querySelector('[data-testid=stage]').scrollIntoView({block:'center'});",
        )
        .await?;
        let (x0, y0) = self.on_screen(from).await?;
        let (x1, y1) = self.on_screen(to).await?;
        let go = |x, y| PointerAction::MoveTo { duration: Some(Duration::from_millis(20)), x, y };
        let mouse = MouseActions::new("mouse".into())
            .then(go(x0, y0))
            .then(PointerAction::Down { button: MOUSE_BUTTON_LEFT })
            .then(go(x1, y1))
            .then(PointerAction::Up { button: MOUSE_BUTTON_LEFT });
        Ok(self.client.perform_actions(mouse).await?)
    }

    /// Presses in the picture, in clip pixels.
    ///
    /// # Errors
    /// When there is no picture.
    pub async fn touch(&self, at: (f64, f64)) -> Result<()> {
        self.drag(at, at).await
    }

    /// Where a place of the picture is on the screen. Pixel centres are at whole numbers.
    async fn on_screen(&self, (x, y): (f64, f64)) -> Result<(f64, f64)> {
        let place = self
            .client
            .execute(
                "const s = document.querySelector('[data-testid=stage]'), r = s.getBoundingClientRect();
                 return [r.left + (arguments[0] + 0.5) / s.dataset.width * r.width,
                         r.top + (arguments[1] + 0.5) / s.dataset.height * r.height];",
                vec![json!(x), json!(y)],
            )
            .await?;
        let number = |i: usize| place.get(i).and_then(Value::as_f64).ok_or("there is no picture");
        Ok((number(0)?, number(1)?))
    }

    /// Fails when the page wrote an error to the console, or shows what is not a number.
    ///
    /// # Errors
    /// What is wrong.
    pub async fn is_calm(&self) -> Result<()> {
        let errors: Vec<Value> = (self.log("browser").await?.into_iter())
            .filter(|e| e.get("level").and_then(Value::as_str) == Some("SEVERE"))
            // The browser's own word on an address that is not there any more: the journeys stop the server.
            .filter(|e| {
                !e.to_string().contains("ERR_CONNECTION_REFUSED")
                    && !e.to_string().contains("favicon")
            })
            .collect();
        if !errors.is_empty() {
            return Err(format!("the console says: {errors:?}").into());
        }
        let words = self.words().await?;
        let bad = ["NaN", "undefined", "Infinity", "inf "].into_iter().find(|b| words.contains(b));
        bad.map_or(Ok(()), |b| Err(format!("the page shows {b}: {words}").into()))
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
